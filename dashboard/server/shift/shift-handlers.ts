/** What the routes of shift-routes.ts do. */
import type { Express } from 'express';
import { csvLines } from '#core/csv/csv-writer';
import { shiftJointColumns, shiftRigColumns } from '#core/shift/shift-tables';
import type { DashboardContext } from '../api/context.ts';
import { serve } from '../api/route.ts';
import { serveFile } from '../export/serve-file.ts';
import { readShift } from './read-shift.ts';
import { SHIFT_ROUTES } from './shift-routes.ts';

export function addShiftRoutes(app: Express, context: DashboardContext): void {
  serve(app, SHIFT_ROUTES.shift, ({ query }) => readShift(context, query));
  serveFile(app, SHIFT_ROUTES.shiftCsv, ({ query: { table, decimal, ...asked } }) => {
    const shift = readShift(context, asked);
    return {
      name: `shift-${shift.date}-${table}.csv`,
      body:
        table === 'rigs'
          ? csvLines(shiftRigColumns(shift), shift.rigs, decimal)
          : csvLines(shiftJointColumns(shift), shift.joints, decimal),
    };
  });
}
