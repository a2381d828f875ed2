/** Routes of the machines that may connect, and of how a board becomes one. */
import { z } from 'zod';
import {
  enrolmentAnswerSchema,
  enrolmentRequestSchema,
  givenMachineCodeSchema,
  machineListSchema,
  revocationSchema,
} from '#core/messages/enrolment';
import type { ProblemStatus } from '../api/problem.ts';
import { rigParams } from '../api/query-schemas.ts';
import { route } from '../api/route.ts';

const MACHINE = '/api/v1/rigs/{site}/{rig}/machine';

export const ENROLMENT_PROBLEMS = {
  codeWrong: 403,
  codeWait: 429,
  proofWrong: 422,
} as const satisfies Record<string, ProblemStatus>;

export const MACHINE_ROUTES = {
  machines: route({
    method: 'get',
    path: '/api/v1/machines',
    operationId: 'listMachines',
    may: 'read',
    summary: 'Every machine that was enrolled here, the newest first, and whether it may connect',
    response: machineListSchema,
  }),
  enrol: route({
    method: 'post',
    path: '/api/v1/enrolments',
    operationId: 'enrolMachine',
    may: 'anyone',
    summary: 'A board shows its one-time code and its keys, and gets what the broker asks for',
    body: enrolmentRequestSchema,
    response: enrolmentAnswerSchema,
    problems: ENROLMENT_PROBLEMS,
  }),
  makeMachineCode: route({
    method: 'post',
    path: `${MACHINE}/codes`,
    operationId: 'makeMachineCode',
    may: 'manageMachines',
    summary: 'A one-time code that enrols a board for this rig, for 15 minutes',
    params: rigParams,
    body: z.strictObject({}),
    response: givenMachineCodeSchema,
  }),
  revokeMachine: route({
    method: 'post',
    path: `${MACHINE}/revocations`,
    operationId: 'revokeMachine',
    may: 'manageMachines',
    summary: 'The rig’s machine may not connect any more, from this moment on',
    params: rigParams,
    body: revocationSchema,
    response: machineListSchema,
    problems: { machineUnknown: 404 },
  }),
} as const;
