/** Routes of exports: files of a joint and of a pass, and the jobs that make large archives. */
import { z } from 'zod';
import {
  csvStyleQuery,
  exportJobSchema,
  exportListSchema,
  jointExportSchema,
  newExportSchema,
  paperMannerQuery,
  paperSchema,
  passSamplesExportSchema,
  zoneSchema,
} from '#core/messages/api-export';
import { originSchema } from '#core/messages/common';
import { jointParams, passParams } from '../api/query-schemas.ts';
import { route } from '../api/route.ts';

const get = 'get' as const;
const CSV = 'text/csv';
const ZIP = 'application/zip';
const PDF = 'application/pdf';
const file = z.string();

const styleQuery = { zone: zoneSchema, origin: originSchema.optional() };
/** "a4", "letter" or "a4,letter". */
const papersSchema = z
  .string()
  .max(20)
  .default('a4')
  .transform(text => [...new Set(text.split(','))])
  .pipe(z.array(paperSchema));
const jointQuery = z.strictObject(styleQuery);
const tableQuery = z.strictObject({ ...styleQuery, ...csvStyleQuery });
const passQuery = z.strictObject({ zone: zoneSchema });
const dayQuery = { date: z.iso.date(), ...styleQuery };
const idParams = z.strictObject({ id: z.string().min(1).max(60) });

const unknownJoint = { jointUnknown: 404 } as const;
const unknownPass = { passUnknown: 404 } as const;
const notNow = { exportBusy: 503, exportFailed: 503 } as const;

function jointTable(name: string, operationId: string, summary: string) {
  return route({
    method: get,
    path: `/api/v1/joints/{joint}/${name}.csv`,
    operationId,
    may: 'read',
    summary,
    params: jointParams,
    query: tableQuery,
    response: file,
    media: CSV,
    problems: unknownJoint,
  });
}

export const EXPORT_ROUTES = {
  jointExport: route({
    method: get,
    path: '/api/v1/joints/{joint}/export.zip',
    operationId: 'exportJoint',
    may: 'read',
    summary: 'Everything of one joint in one archive: report, tables, data, signed record, samples, manifest',
    params: jointParams,
    query: z.strictObject({ ...styleQuery, ...paperMannerQuery, paper: papersSchema }),
    response: file,
    media: ZIP,
    problems: { ...unknownJoint, ...notNow },
  }),
  jointReport: route({
    method: get,
    path: '/api/v1/joints/{joint}/report.pdf',
    operationId: 'readJointReport',
    may: 'read',
    summary: 'The report of a joint as PDF/A-3b; the same bytes as long as nothing about it changes',
    params: jointParams,
    query: z.strictObject({ ...styleQuery, ...paperMannerQuery, paper: paperSchema.default('a4') }),
    response: file,
    media: PDF,
    problems: unknownJoint,
  }),
  jointExportJson: route({
    method: get,
    path: '/api/v1/joints/{joint}/export.json',
    operationId: 'readJointExport',
    may: 'read',
    summary: 'A joint as data: the review, its procedures, the names of people',
    params: jointParams,
    query: jointQuery,
    response: jointExportSchema,
    problems: unknownJoint,
  }),
  jointPassesCsv: jointTable('passes', 'readJointPassesCsv', 'One row a pass of the joint'),
  jointWindowsCsv: jointTable(
    'windows',
    'readJointWindowsCsv',
    'One row for about 25 mm of weld of every pass',
  ),
  jointDeviationsCsv: jointTable('deviations', 'readJointDeviationsCsv', 'One row a deviation or change'),
  jointEventsCsv: jointTable(
    'events',
    'readJointEventsCsv',
    'One row an event of the rigs during its passes',
  ),
  passSamplesCsv: route({
    method: get,
    path: '/api/v1/passes/{passId}/samples.csv',
    operationId: 'readPassSamplesCsv',
    may: 'read',
    summary: 'The samples of a pass as they were recorded, ten seconds before and after included',
    params: passParams,
    query: passQuery,
    response: file,
    media: CSV,
    problems: unknownPass,
  }),
  passSamplesJson: route({
    method: get,
    path: '/api/v1/passes/{passId}/samples.json',
    operationId: 'readPassSamplesJson',
    may: 'read',
    summary: 'The same samples as JSON',
    params: passParams,
    query: passQuery,
    response: passSamplesExportSchema,
    media: 'application/json',
    problems: unknownPass,
  }),
  passReplayMap: route({
    method: get,
    path: '/api/v1/passes/{passId}/replay-map.json',
    operationId: 'readPassReplayMap',
    may: 'read',
    summary: 'The map with which replay reads samples.csv of the pass',
    params: passParams,
    response: z.record(z.string(), z.unknown()),
    problems: { ...unknownPass, samplesMissing: 404 },
  }),
  dayExport: route({
    method: get,
    path: '/api/v1/exports/day',
    operationId: 'exportDay',
    may: 'read',
    summary: 'The joints welded on a local day in one archive, sent as it is made',
    query: z.strictObject({ ...dayQuery, ...paperMannerQuery, paper: papersSchema }),
    response: file,
    media: ZIP,
    problems: { dayEmpty: 404, ...notNow },
  }),
  dayPassesCsv: route({
    method: get,
    path: '/api/v1/exports/passes.csv',
    operationId: 'readDayPassesCsv',
    may: 'read',
    summary: 'One row a pass that began on a local day',
    query: z.strictObject({ ...dayQuery, ...csvStyleQuery }),
    response: file,
    media: CSV,
    problems: { dayEmpty: 404 },
  }),
  exports: route({
    method: get,
    path: '/api/v1/exports',
    operationId: 'listExports',
    may: 'read',
    summary: 'Exports that are being made or were, newest first; none after a restart',
    response: exportListSchema,
  }),
  addExport: route({
    method: 'post',
    path: '/api/v1/exports',
    operationId: 'addExport',
    may: 'export',
    summary: 'Begins an export of a day’s joints or of named ones; one at a time',
    body: newExportSchema,
    response: exportJobSchema,
    problems: { ...unknownJoint, dayEmpty: 404, originMixed: 422, exportBusy: 409 },
  }),
  export: route({
    method: get,
    path: '/api/v1/exports/{id}',
    operationId: 'readExport',
    may: 'read',
    summary: 'How far an export has come',
    params: idParams,
    response: exportJobSchema,
    problems: { exportUnknown: 404 },
  }),
  exportFile: route({
    method: get,
    path: '/api/v1/exports/{id}/file',
    operationId: 'readExportFile',
    may: 'read',
    summary: 'The finished archive, as long as it is kept',
    params: idParams,
    response: file,
    media: ZIP,
    problems: { exportUnknown: 404, exportNotDone: 409 },
  }),
  cancelExport: route({
    method: 'post',
    path: '/api/v1/exports/{id}/cancel',
    operationId: 'cancelExport',
    may: 'export',
    summary: 'Ends an export that is being made; nothing of it is kept',
    params: idParams,
    response: exportJobSchema,
    problems: { exportUnknown: 404 },
  }),
} as const;
