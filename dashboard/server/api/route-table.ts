/** Every route of /api/v1 that speaks JSON; the event stream and the pages beside it are in http-server.ts. */
import {
  jointRingSchema,
  newAssignmentSchema,
  newPersonSchema,
  newProcedureSchema,
  passPageSchema,
  personSchema,
  samplesSchema,
} from '#core/messages/api';
import {
  assignmentAnswerSchema,
  assignmentListSchema,
  deviationListSchema,
  eventListSchema,
  jointDetailSchema,
  jointListSchema,
  peopleListSchema,
  procedureEntrySchema,
  procedureListSchema,
  rigListSchema,
  systemSchema,
} from '#core/messages/api-lists';
import { passMessageSchema } from '#core/messages/pass';
import { ALARM_ROUTES } from '../alarms/alarm-routes.ts';
import { ACCOUNT_ROUTES } from '../auth/account-routes.ts';
import { EXPORT_ROUTES } from '../export/export-routes.ts';
import { MACHINE_ROUTES } from '../machines/machine-routes.ts';
import { SHIFT_ROUTES } from '../shift/shift-routes.ts';
import { TRAINING_ROUTES } from '../training/training-routes.ts';
import { DISPOSITION_ROUTES } from './disposition-routes.ts';
import { JOURNAL_ROUTES } from './journal-routes.ts';
import {
  assignmentsQuery,
  eventsQuery,
  jointParams,
  jointQuery,
  jointsQuery,
  passesQuery,
  passParams,
  passSamplesQuery,
  rigParams,
  samplesQuery,
} from './query-schemas.ts';
import { REVIEW_ROUTES } from './review-routes.ts';
import { type RouteSpec, route } from './route.ts';
import { SEAL_ROUTES } from './seal-routes.ts';
import { WATCH_ROUTES } from './watch-routes.ts';

const get = 'get' as const;
const post = 'post' as const;

export const ROUTES = {
  rigs: route({
    method: get,
    path: '/api/v1/rigs',
    operationId: 'listRigs',
    may: 'read',
    summary: 'Every rig in its fixed place, with what it last said',
    response: rigListSchema,
  }),
  samples: route({
    method: get,
    path: '/api/v1/rigs/{site}/{rig}/samples',
    operationId: 'readSamples',
    may: 'read',
    summary:
      'Samples of a rig, reduced so that no extreme is lost; the last five minutes where no range is given',
    params: rigParams,
    query: samplesQuery,
    response: samplesSchema,
    problems: { rigUnknown: 404, rangeInvalid: 400, rangeTooLong: 400 },
  }),
  passes: route({
    method: get,
    path: '/api/v1/passes',
    operationId: 'listPasses',
    may: 'read',
    summary: 'Passes, newest first',
    query: passesQuery,
    response: passPageSchema,
  }),
  pass: route({
    method: get,
    path: '/api/v1/passes/{passId}',
    operationId: 'readPass',
    may: 'read',
    summary: 'One pass as its latest record has it',
    params: passParams,
    response: passMessageSchema,
    problems: { passUnknown: 404 },
  }),
  passSamples: route({
    method: get,
    path: '/api/v1/passes/{passId}/samples',
    operationId: 'readPassSamples',
    may: 'read',
    summary: 'Samples of one pass from its start to its end',
    params: passParams,
    query: passSamplesQuery,
    response: samplesSchema,
    problems: { passUnknown: 404 },
  }),
  joints: route({
    method: get,
    path: '/api/v1/joints',
    operationId: 'listJoints',
    may: 'read',
    summary: 'Joints of one origin, newest work first',
    query: jointsQuery,
    response: jointListSchema,
  }),
  joint: route({
    method: get,
    path: '/api/v1/joints/{joint}',
    operationId: 'readJoint',
    may: 'read',
    summary: 'One joint with its passes in the order they were welded',
    params: jointParams,
    query: jointQuery,
    response: jointDetailSchema,
    problems: { jointUnknown: 404 },
  }),
  jointRing: route({
    method: get,
    path: '/api/v1/joints/{joint}/ring',
    operationId: 'readJointRing',
    may: 'read',
    summary: 'What each side has welded of each layer, in mm from its 12 o’clock',
    params: jointParams,
    query: jointQuery,
    response: jointRingSchema,
    problems: { jointUnknown: 404, ringUnknown: 404 },
  }),
  deviations: route({
    method: get,
    path: '/api/v1/deviations',
    operationId: 'listDeviations',
    may: 'read',
    summary: 'Deviations, newest first',
    query: passesQuery,
    response: deviationListSchema,
  }),
  events: route({
    method: get,
    path: '/api/v1/events',
    operationId: 'listEvents',
    may: 'read',
    summary: 'Events of the rigs, newest first',
    query: eventsQuery,
    response: eventListSchema,
  }),
  procedures: route({
    method: get,
    path: '/api/v1/procedures',
    operationId: 'listProcedures',
    may: 'read',
    summary: 'Every stored procedure revision',
    response: procedureListSchema,
  }),
  addProcedure: route({
    method: post,
    path: '/api/v1/procedures',
    operationId: 'addProcedure',
    may: 'enter',
    summary: 'Stores a procedure revision, which is never changed afterwards',
    body: newProcedureSchema,
    response: procedureEntrySchema,
    problems: { authorUnknown: 422, procedureImpossible: 422, procedureRevisionTaken: 409 },
  }),
  assignments: route({
    method: get,
    path: '/api/v1/assignments',
    operationId: 'listAssignments',
    may: 'read',
    summary: 'What rigs were assigned, newest first',
    query: assignmentsQuery,
    response: assignmentListSchema,
  }),
  addAssignment: route({
    method: post,
    path: '/api/v1/assignments',
    operationId: 'addAssignment',
    may: 'enter',
    summary: 'Says what a rig is about to weld; reaches the rig now or when it is back. It never moves a rig',
    body: newAssignmentSchema,
    response: assignmentAnswerSchema,
    problems: { authorUnknown: 422, procedureUnknown: 422, passUnknown: 422, rigLimit: 422 },
  }),
  people: route({
    method: get,
    path: '/api/v1/people',
    operationId: 'listPeople',
    may: 'read',
    summary: 'People whose names stand in records',
    response: peopleListSchema,
  }),
  addPerson: route({
    method: post,
    path: '/api/v1/people',
    operationId: 'addPerson',
    may: 'enter',
    summary: 'Adds a name that may stand in records; an account is opened by an administrator',
    body: newPersonSchema,
    response: personSchema,
    problems: { roleMissing: 403 },
  }),
  system: route({
    method: get,
    path: '/api/v1/system',
    operationId: 'readSystem',
    may: 'read',
    summary: 'The dashboard’s own state: store, broker, streams, counters',
    response: systemSchema,
  }),
  ...JOURNAL_ROUTES,
  ...ALARM_ROUTES,
  ...EXPORT_ROUTES,
  ...DISPOSITION_ROUTES,
  ...SEAL_ROUTES,
  ...WATCH_ROUTES,
  ...SHIFT_ROUTES,
  ...REVIEW_ROUTES,
  ...TRAINING_ROUTES,
  ...ACCOUNT_ROUTES,
  ...MACHINE_ROUTES,
} as const;

/** Every route below /api, the event stream too: what is not here is answered with 404. */
export const GUARDED_ROUTES: readonly Pick<RouteSpec, 'method' | 'path' | 'may'>[] = [
  ...Object.values(ROUTES),
  { method: 'get', path: '/api/v1/stream', may: 'read' },
];
