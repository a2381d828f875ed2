/** What the routes of review-routes.ts do. */
import type { Express } from 'express';
import { readIndicationTable } from '#core/indication/indication-table';
import { jointReview } from '../review/joint-review.ts';
import { WindowCache } from '../review/window-cache.ts';
import type { DashboardContext } from './context.ts';
import { csvRows } from './csv-rows.ts';
import { ApiProblem } from './problem.ts';
import { REVIEW_ROUTES } from './review-routes.ts';
import { serve } from './route.ts';

export function addReviewRoutes(app: Express, context: DashboardContext): void {
  const windows = new WindowCache();
  serve(app, REVIEW_ROUTES.jointReview, ({ params: { joint }, query }) => {
    const known = context.facts.joint(joint, query.origin);
    if (known) return jointReview(known, { ...context, windows });
    throw new ApiProblem(404, 'jointUnknown', `Nothing is entered or recorded of joint ${joint}.`);
  });
  serve(app, REVIEW_ROUTES.readIndications, ({ body: { csv } }) => {
    const split = csvRows(csv);
    const read = split.ok ? readIndicationTable(split.rows, split.semicolons) : split;
    if (read.ok) return { indications: read.indications };
    throw new ApiProblem(422, 'indicationTableInvalid', read.problem);
  });
}
