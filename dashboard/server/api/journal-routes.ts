/** Routes of what people enter and what follows from it. */
import { z } from 'zod';
import { DECISIONS } from '#core/journal/decisions';
import { entryBodySchema, entrySchema, newEntrySchema } from '#core/journal/entry';
import {
  edgeRunSchema,
  entryPageSchema,
  jointStateSchema,
  jointSummaryListSchema,
  proposalSchema,
  readinessListSchema,
  rigReadinessSchema,
} from '#core/messages/api-journal';
import { passJournalSchema, unassignedPassesSchema } from '#core/messages/api-pass-journal';
import {
  passTableSchema,
  passTableTextSchema,
  procedureJointsSchema,
  procedureRevisionSchema,
  procedureStatesSchema,
} from '#core/messages/api-procedure';
import { originSchema, topicIdSchema, utcSchema } from '#core/messages/common';
import { ENTRY_PROBLEMS } from './check-entry.ts';
import { jointParams, jointQuery, pageQuery, passParams, rigParams } from './query-schemas.ts';
import { route } from './route.ts';

const get = 'get' as const;
const post = 'post' as const;

const kinds = entryBodySchema.options.map(option => option.shape.kind.value);
const entriesQuery = z.strictObject({
  subject: z.string().max(140).optional(),
  kind: z.enum(kinds as [(typeof kinds)[number], ...(typeof kinds)[number][]]).optional(),
  ...pageQuery,
});
const revisionParams = z.strictObject({
  id: topicIdSchema,
  revision: z
    .string()
    .regex(/^[1-9]\d{0,8}$/, 'use a whole number from 1')
    .transform(Number),
});

const yesNo = z.enum(['yes', 'no']).optional();
const jointListQuery = z.strictObject({
  find: z.string().max(80).optional(),
  station: z.string().max(80).optional(),
  rig: z
    .string()
    .regex(/^[a-z0-9-]+\/[a-z0-9-]+$/, 'use site/rig')
    .max(140)
    .optional(),
  procedureId: topicIdSchema.optional(),
  procedureRevision: z.coerce.number().int().positive().optional(),
  origin: originSchema.optional(),
  deviations: yesNo,
  disposition: z.enum([...DECISIONS, 'none']).optional(),
  incomplete: yesNo,
  fromUtc: utcSchema.optional(),
  toUtc: utcSchema.optional(),
  ...pageQuery,
});

export const JOURNAL_ROUTES = {
  entries: route({
    method: get,
    path: '/api/v1/entries',
    operationId: 'listEntries',
    may: 'read',
    summary:
      'The journal, newest first: of one subject ("joint J-1", "rig site/rig", "person id", "procedure id") or of one kind',
    query: entriesQuery,
    response: entryPageSchema,
  }),
  addEntry: route({
    method: post,
    path: '/api/v1/entries',
    operationId: 'addEntry',
    may: 'enter',
    summary:
      'Adds an entry, which is never changed: a correction is a new one with its own author and reason',
    body: newEntrySchema,
    response: entrySchema,
    problems: { ...ENTRY_PROBLEMS, roleMissing: 403 },
  }),
  jointState: route({
    method: get,
    path: '/api/v1/joints/{joint}/state',
    operationId: 'readJointState',
    may: 'read',
    summary:
      'A joint as it stands by everything entered and recorded, with what is missing or against the rules',
    params: jointParams,
    query: jointQuery,
    response: jointStateSchema,
    problems: { jointUnknown: 404 },
  }),
  jointList: route({
    method: get,
    path: '/api/v1/joint-list',
    operationId: 'listJointSummaries',
    may: 'read',
    summary: 'Every joint that was opened, assigned, recorded or moved to; newest first',
    query: jointListQuery,
    response: jointSummaryListSchema,
  }),
  readiness: route({
    method: get,
    path: '/api/v1/readiness',
    operationId: 'listReadiness',
    may: 'read',
    summary: 'What every rig has and lacks before the arc; nobody is locked out by it',
    response: readinessListSchema,
  }),
  rigReadiness: route({
    method: get,
    path: '/api/v1/rigs/{site}/{rig}/readiness',
    operationId: 'readRigReadiness',
    may: 'read',
    summary: 'What one rig has and lacks before the arc',
    params: rigParams,
    response: rigReadinessSchema,
    problems: { rigUnknown: 404 },
  }),
  proposal: route({
    method: get,
    path: '/api/v1/proposals/{site}/{rig}',
    operationId: 'proposeWork',
    may: 'read',
    summary: 'What a rig may weld next by the WPS and what is done; a person confirms it',
    params: rigParams,
    response: proposalSchema,
    problems: { rigUnknown: 404 },
  }),
  edgeRun: route({
    method: get,
    path: '/api/v1/edge-run/{site}/{rig}',
    operationId: 'readEdgeRun',
    may: 'read',
    summary:
      'The newest run without an arc that the edge recorded, at least 3 s long; null where there is none',
    params: rigParams,
    query: z.strictObject({ channel: z.enum(['travelSpeed', 'wireFeedSpeed']) }),
    response: edgeRunSchema.nullable(),
    problems: { rigUnknown: 404 },
  }),
  passJournal: route({
    method: get,
    path: '/api/v1/passes/{passId}/journal',
    operationId: 'readPassJournal',
    may: 'read',
    summary:
      'What was entered about a recorded pass: moves, both judgements, corrected values, readiness when it began',
    params: passParams,
    response: passJournalSchema,
    problems: { passUnknown: 404 },
  }),
  unassignedPasses: route({
    method: get,
    path: '/api/v1/unassigned-passes',
    operationId: 'listUnassignedPasses',
    may: 'read',
    summary: 'Passes that count for no joint yet, newest first',
    response: unassignedPassesSchema,
  }),
  procedureStates: route({
    method: get,
    path: '/api/v1/procedure-states',
    operationId: 'listProcedureStates',
    may: 'read',
    summary: 'Draft, approved or withdrawn: of every stored revision',
    response: procedureStatesSchema,
  }),
  procedure: route({
    method: get,
    path: '/api/v1/procedures/{id}/{revision}',
    operationId: 'readProcedure',
    may: 'read',
    summary: 'One procedure revision with its state',
    params: revisionParams,
    response: procedureRevisionSchema,
    problems: { procedureUnknown: 404 },
  }),
  passTableCsv: route({
    method: get,
    path: '/api/v1/procedures/{id}/{revision}/pass-table.csv',
    operationId: 'exportPassTable',
    may: 'read',
    summary: 'The passes of a revision as a CSV table',
    params: revisionParams,
    response: z.string(),
    media: 'text/csv; charset=utf-8; header=present',
    problems: { procedureUnknown: 404 },
  }),
  procedureFile: route({
    method: get,
    path: '/api/v1/procedures/{id}/{revision}/procedure.json',
    operationId: 'exportProcedure',
    may: 'read',
    summary: 'A revision as the file that replay and edges read',
    params: revisionParams,
    response: z.string(),
    media: 'application/json',
    problems: { procedureUnknown: 404 },
  }),
  procedureJoints: route({
    method: get,
    path: '/api/v1/procedures/{id}/{revision}/joints',
    operationId: 'listProcedureJoints',
    may: 'read',
    summary: 'Joints that used this revision, newest use first',
    params: revisionParams,
    response: procedureJointsSchema,
    problems: { procedureUnknown: 404 },
  }),
  readPassTable: route({
    method: post,
    path: '/api/v1/pass-table',
    operationId: 'readPassTable',
    may: 'compute',
    summary: 'Reads a CSV pass table into passes; stores nothing',
    body: passTableTextSchema,
    response: passTableSchema,
    problems: { passTableInvalid: 422 },
  }),
} as const;
