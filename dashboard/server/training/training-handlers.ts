/** What the routes of training-routes.ts do. */

import type { Express, Request } from 'express';
import type { z } from 'zod';
import type { Training } from '#core/messages/api-training';
import { TRAINER_HEADER } from '#core/training/names';
import type { TrainingSession } from '#core/training/session';
import type { DashboardContext } from '../api/context.ts';
import { ApiProblem } from '../api/problem.ts';
import { expressPath, type Handler, inputOf, type RouteSpec } from '../api/route.ts';
import { askerOf } from '../auth/access-guard.ts';
import { actorMay } from '../auth/actor.ts';
import { serveFile } from '../export/serve-file.ts';
import { softwareVersion } from '../software-version.ts';
import type { OpenTraining } from './open-training.ts';
import { sessionDebrief, sessionScore } from './session-debrief.ts';
import { sessionHead, sessionView, traineesOverview } from './session-view.ts';
import { TRAINING_ROUTES as ROUTES } from './training-routes.ts';

const OFF: Training = { mode: 'off', lessons: [], control: null, controlProblem: null, session: null };

/** What stays when a session is deleted. */
const STAYS = [
  'The simulated joints, passes and samples of the lesson: they name neither trainee nor trainer.',
  'The log of alarms and the journal, where somebody chose a name to acknowledge or enter something during the lesson.',
  'Copies that people made: exported files, printed debriefs, and copies of the disk. Backups of this program hold no sessions.',
];

type Input<S extends RouteSpec> = Parameters<Handler<S>>[0];

export function addTrainingRoutes(app: Express, { training, store }: DashboardContext): void {
  app.get(expressPath(ROUTES.training), async (request: Request, response) => {
    const overview = training ? await training.desk.overview() : OFF;
    const isTrainer = training !== null && isTrainerOf(training, request);
    response.json(isTrainer ? overview : traineesOverview(overview));
  });

  on(ROUTES.trainingSessions, true, ({ desk }) => ({ sessions: desk.sessions().map(sessionHead) }));
  on(ROUTES.addTrainingSession, true, async ({ desk }, { body }) => shown(await desk.add(body), true));
  on(ROUTES.trainingSession, false, ({ desk }, { params: { id } }, isTrainer) =>
    shown(desk.find(id), isTrainer),
  );
  on(ROUTES.startTraining, true, async ({ desk }, { params: { id }, body }) =>
    shown(await desk.start(id, body.speed), true),
  );
  on(ROUTES.freezeTraining, true, async ({ desk }, { params: { id } }) => shown(await desk.freeze(id), true));
  on(ROUTES.resumeTraining, true, async ({ desk }, { params: { id } }) => shown(await desk.resume(id), true));
  on(ROUTES.setTrainingSpeed, true, async ({ desk }, { params: { id }, body }) =>
    shown(await desk.speed(id, body.speed), true),
  );
  on(ROUTES.injectTraining, true, async ({ desk }, { params: { id }, body }) =>
    shown(await desk.inject(id, body), true),
  );
  on(ROUTES.endTraining, true, async ({ desk }, { params: { id }, body }) =>
    shown(await desk.end(id, body.anyway), true),
  );
  on(ROUTES.addTrainingNote, true, ({ desk }, { params: { id }, body }) =>
    shown(desk.note(id, body.text), true),
  );
  on(ROUTES.addTrainingMark, false, ({ desk }, { params: { id }, body }, isTrainer) =>
    shown(desk.mark(id, body), isTrainer),
  );
  on(ROUTES.rateTraining, false, ({ desk }, { params: { id }, body }, isTrainer) =>
    shown(
      desk.rate(id, body.rating, session => sessionScore(session, store)),
      isTrainer,
    ),
  );
  on(ROUTES.trainingDebrief, false, ({ desk }, { params: { id } }) => debriefOf(desk.rated(id)));
  on(ROUTES.writeTrainingDebrief, true, ({ desk }, { params: { id }, body }) =>
    shown(desk.writePoints(id, body.keep, body.change), true),
  );
  serveFile(app, ROUTES.trainingDebriefPdf, async ({ params: { id }, query }) => {
    const debrief = debriefOf(opened().desk.rated(id));
    const { trainingReport } = await import('../report/training-report.ts');
    const body = await trainingReport({
      ...{ debrief, software: softwareVersion(), paper: query.paper },
      manner: { language: query.lang, units: query.units, decimal: query.decimal, zone: query.zone },
    });
    return { name: fileName(debrief.session, 'pdf'), body };
  });
  serveFile(app, ROUTES.trainingExport, ({ params: { id } }) => {
    const debrief = debriefOf(opened().desk.rated(id));
    return { name: fileName(debrief.session, 'json'), body: [JSON.stringify(debrief)] };
  });
  on(ROUTES.deleteTrainingSession, true, ({ desk }, { params: { id } }) => {
    desk.delete(id);
    return { deleted: id, stays: STAYS };
  });

  function shown(session: TrainingSession, isTrainer: boolean) {
    return sessionView(session, isTrainer, training?.desk.hint(session) ?? null);
  }

  function debriefOf(session: TrainingSession) {
    return sessionDebrief(session, session.score ?? sessionScore(session, store), store);
  }

  /** Adds a route that this dashboard has only where it is set up for training. */
  function on<S extends RouteSpec>(
    spec: S,
    byTrainer: boolean,
    handler: (
      open: OpenTraining,
      input: Input<S>,
      isTrainer: boolean,
    ) => z.infer<S['response']> | Promise<z.infer<S['response']>>,
  ): void {
    app[spec.method](expressPath(spec), async (request: Request, response) => {
      const { open, isTrainer } = admitted(request, byTrainer);
      const answer = await handler(open, inputOf(spec, request), isTrainer);
      response.status(spec.status).json(answer);
    });
  }

  function admitted(request: Request, byTrainer: boolean): { open: OpenTraining; isTrainer: boolean } {
    const open = opened();
    const isTrainer = isTrainerOf(open, request);
    if (byTrainer && !isTrainer) open.key.require(request.get(TRAINER_HEADER));
    return { open, isTrainer };
  }

  /** By the key of the trainer's link, or signed in as one. */
  function isTrainerOf(open: OpenTraining, request: Request): boolean {
    return open.key.isShown(request.get(TRAINER_HEADER)) || actorMay(askerOf(request).actor, 'train');
  }

  function opened(): OpenTraining {
    if (training) return training;
    throw new ApiProblem(
      404,
      'trainingOff',
      'This dashboard is not set up for training (girthlog-simulator train).',
    );
  }
}

/** Without a name in it: files are passed on. */
const fileName = ({ lesson, createdAt }: TrainingSession, ending: string): string =>
  `training-${lesson.id}-${createdAt.slice(0, 10)}.${ending}`;
