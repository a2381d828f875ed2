/** What the routes of watch-routes.ts do. */
import type { Express } from 'express';
import { inSteps } from '../in-steps.ts';
import { overJoints, passTypes } from '../watch/over-joints.ts';
import { callPage } from '../watch/recorded-calls.ts';
import { trial } from '../watch/trial.ts';
import { watchState } from '../watch/watch-state.ts';
import type { DashboardContext } from './context.ts';
import { serve } from './route.ts';
import { WATCH_ROUTES } from './watch-routes.ts';

export function addWatchRoutes(app: Express, context: DashboardContext): void {
  const { store, board } = context;
  serve(app, WATCH_ROUTES.watch, () => inSteps(watchState(store)));
  serve(app, WATCH_ROUTES.watchTrial, ({ body: { settings } }) =>
    inSteps(
      trial(settings, { store, radiusOf: address => board.find(address)?.info?.referenceRadiusMm ?? null }),
    ),
  );
  serve(app, WATCH_ROUTES.calls, ({ query }) => callPage(store, query));
  serve(app, WATCH_ROUTES.passTypes, () => inSteps(passTypes(context)));
  serve(app, WATCH_ROUTES.overJoints, ({ query }) => inSteps(overJoints(context, query)));
}
