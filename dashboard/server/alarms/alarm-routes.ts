/** Routes of alarms. No action here touches a deviation. */
import { z } from 'zod';
import {
  alarmHistorySchema,
  alarmPictureSchema,
  alarmServiceSchema,
  alarmShelveSchema,
  alarmsActionSchema,
  alarmUnshelveSchema,
} from '#core/messages/api-alarm';
import { topicIdSchema } from '#core/messages/common';
import type { ProblemStatus } from '../api/problem.ts';
import { pageQuery } from '../api/query-schemas.ts';
import { route } from '../api/route.ts';

const get = 'get' as const;
const post = 'post' as const;

const WHO = { authorUnknown: 422, roleMissing: 403 } as const satisfies Record<string, ProblemStatus>;

export const ALARM_ROUTES = {
  alarms: route({
    method: get,
    path: '/api/v1/alarms',
    operationId: 'listAlarms',
    may: 'read',
    summary: 'What someone must act on now, most urgent first, and how much was announced',
    response: alarmPictureSchema,
  }),
  alarmHistory: route({
    method: get,
    path: '/api/v1/alarms/history',
    operationId: 'listAlarmHistory',
    may: 'read',
    summary: 'What was announced and done about alarms, newest first',
    query: z.strictObject({ site: topicIdSchema.optional(), rig: topicIdSchema.optional(), ...pageQuery }),
    response: alarmHistorySchema,
  }),
  acknowledgeAlarms: route({
    method: post,
    path: '/api/v1/alarms/acknowledge',
    operationId: 'acknowledgeAlarms',
    may: 'answerAlarm',
    summary: 'A person has seen them. Deviations of the pass stay as they are',
    body: alarmsActionSchema,
    response: alarmPictureSchema,
    problems: { ...WHO, alarmGone: 409 },
  }),
  resetAlarms: route({
    method: post,
    path: '/api/v1/alarms/reset',
    operationId: 'resetAlarms',
    may: 'answerAlarm',
    summary: 'Lets go of HIGH alarms that are acknowledged and over',
    body: alarmsActionSchema,
    response: alarmPictureSchema,
    problems: { ...WHO, alarmGone: 409, conditionTrue: 409, acknowledgeFirst: 409 },
  }),
  shelveAlarm: route({
    method: post,
    path: '/api/v1/alarms/shelve',
    operationId: 'shelveAlarm',
    may: 'answerAlarm',
    summary:
      'Puts one cause of one rig aside for some minutes; what is true when they are over is announced anew',
    body: alarmShelveSchema,
    response: alarmPictureSchema,
    problems: WHO,
  }),
  unshelveAlarm: route({
    method: post,
    path: '/api/v1/alarms/unshelve',
    operationId: 'unshelveAlarm',
    may: 'answerAlarm',
    summary: 'Ends that before its time',
    body: alarmUnshelveSchema,
    response: alarmPictureSchema,
    problems: { ...WHO, notShelved: 409 },
  }),
  alarmService: route({
    method: post,
    path: '/api/v1/alarms/out-of-service',
    operationId: 'setAlarmService',
    may: 'alarmService',
    summary: 'Takes one cause of one rig out of service or puts it back; by an inspector or administrator',
    body: alarmServiceSchema,
    response: alarmPictureSchema,
    problems: { ...WHO, notOutOfService: 409 },
  }),
} as const;
