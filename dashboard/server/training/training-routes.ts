/** Routes of training. On a dashboard that is not set up for it all but the first answer `trainingOff`. */

import { z } from 'zod';
import { paperMannerQuery, paperSchema, zoneSchema } from '#core/messages/api-export';
import {
  debriefPointsSchema,
  debriefSchema,
  endSchema,
  injectionSchema,
  newMarkSchema,
  newNoteSchema,
  newSessionSchema,
  selfRatingSchema,
  sessionDeletedSchema,
  sessionListSchema,
  sessionViewSchema,
  speedChangeSchema,
  startSchema,
  trainingSchema,
} from '#core/messages/api-training';
import { TRAINER_HEADER } from '#core/training/names';
import type { ProblemStatus } from '../api/problem.ts';
import { route } from '../api/route.ts';

const BASE = '/api/v1/training/sessions';
const params = z.strictObject({ id: z.string().min(1).max(60) });
const trainer = { name: TRAINER_HEADER, required: true };
const anyone = { name: TRAINER_HEADER, required: false };

type Problems = Record<string, ProblemStatus>;
const OFF = { trainingOff: 404, trainerKeyWrong: 403 } as const satisfies Problems;
const OF_TRAINER = { ...OFF, trainerKeyMissing: 403 } as const satisfies Problems;
const KNOWN = { sessionUnknown: 404 } as const satisfies Problems;
const CONTROL = { controlAway: 503, controlRefused: 409 } as const satisfies Problems;

/** Something the trainer does with a session; answered with it as the trainer sees it. */
function byTrainer<B extends z.ZodType>(
  name: string,
  operationId: string,
  summary: string,
  body: B,
  more: Problems,
) {
  return route({
    method: 'post',
    path: `${BASE}/{id}/${name}`,
    operationId,
    may: 'train',
    summary,
    params,
    body,
    response: sessionViewSchema,
    header: trainer,
    problems: { ...OF_TRAINER, ...KNOWN, sessionState: 409, ...more },
  });
}

const none = z.strictObject({});

export const TRAINING_ROUTES = {
  training: route({
    method: 'get',
    path: '/api/v1/training',
    operationId: 'readTraining',
    may: 'read',
    summary: 'Whether this dashboard is set up for training, its lessons, and the lesson that runs',
    response: trainingSchema,
  }),
  trainingSessions: route({
    method: 'get',
    path: BASE,
    operationId: 'listTrainingSessions',
    may: 'train',
    summary: 'Training sessions kept here, newest first; for the trainer',
    response: sessionListSchema,
    header: trainer,
    problems: OF_TRAINER,
  }),
  addTrainingSession: route({
    method: 'post',
    path: BASE,
    operationId: 'addTrainingSession',
    may: 'train',
    summary: 'Opens a lesson for a trainee; one at a time',
    body: newSessionSchema,
    response: sessionViewSchema,
    header: trainer,
    problems: { ...OF_TRAINER, ...CONTROL, sessionOpen: 409 },
  }),
  trainingSession: route({
    method: 'get',
    path: `${BASE}/{id}`,
    operationId: 'readTrainingSession',
    may: 'read',
    summary: 'One session: without the truth for the trainee until the debrief, with it for the trainer',
    params,
    response: sessionViewSchema,
    header: anyone,
    problems: { ...OFF, ...KNOWN },
  }),
  startTraining: byTrainer('start', 'startTraining', 'Begins the lesson', startSchema, CONTROL),
  freezeTraining: byTrainer('freeze', 'freezeTraining', 'Stops time in the lesson', none, CONTROL),
  resumeTraining: byTrainer('resume', 'resumeTraining', 'Lets time go on', none, CONTROL),
  setTrainingSpeed: byTrainer(
    'speed',
    'setTrainingSpeed',
    'Lets the lesson run faster; it is not scored then',
    speedChangeSchema,
    CONTROL,
  ),
  injectTraining: byTrainer(
    'inject',
    'injectTrainingFault',
    'Puts a fault in from where a simulated rig is now',
    injectionSchema,
    CONTROL,
  ),
  endTraining: byTrainer(
    'end',
    'endTraining',
    'Ends the lesson and keeps what was true; `anyway` also without the simulator',
    endSchema,
    CONTROL,
  ),
  addTrainingNote: byTrainer('notes', 'addTrainingNote', 'A note of the trainer', newNoteSchema, {
    tooManyNotes: 409,
  }),
  addTrainingMark: route({
    method: 'post',
    path: `${BASE}/{id}/marks`,
    operationId: 'addTrainingMark',
    may: 'trainAlong',
    summary: 'Something is wrong here, says the trainee: side, channel, what to do. It moves no rig',
    params,
    body: newMarkSchema,
    response: sessionViewSchema,
    header: anyone,
    problems: { ...OFF, ...KNOWN, sessionState: 409, tooManyMarks: 409, rigUnknown: 422 },
  }),
  rateTraining: route({
    method: 'post',
    path: `${BASE}/{id}/self-rating`,
    operationId: 'rateTraining',
    may: 'trainAlong',
    summary: 'The trainee rates themselves, 1 to 5, before the score is shown; once',
    params,
    body: selfRatingSchema,
    response: sessionViewSchema,
    header: anyone,
    problems: { ...OFF, ...KNOWN, sessionState: 409, ratedAlready: 409 },
  }),
  trainingDebrief: route({
    method: 'get',
    path: `${BASE}/{id}/debrief`,
    operationId: 'readTrainingDebrief',
    may: 'read',
    summary: 'Score, and truth, alarms, calls and marks on one timeline; after the self-rating',
    params,
    response: debriefSchema,
    header: anyone,
    problems: { ...OFF, ...KNOWN, sessionState: 409, ratingMissing: 409 },
  }),
  writeTrainingDebrief: byTrainer(
    'debrief',
    'writeTrainingDebrief',
    'Two things to keep and two to change',
    debriefPointsSchema,
    { ratingMissing: 409 },
  ),
  trainingDebriefPdf: route({
    method: 'get',
    path: `${BASE}/{id}/debrief.pdf`,
    operationId: 'readTrainingDebriefPdf',
    may: 'read',
    summary: 'The debrief on paper; the same bytes as long as nothing about it changes',
    params,
    query: z.strictObject({ ...paperMannerQuery, zone: zoneSchema, paper: paperSchema.default('a4') }),
    response: z.string(),
    media: 'application/pdf',
    problems: { trainingOff: 404, ...KNOWN, sessionState: 409, ratingMissing: 409 },
  }),
  trainingExport: route({
    method: 'get',
    path: `${BASE}/{id}/export.json`,
    operationId: 'exportTrainingSession',
    may: 'read',
    summary: 'Everything of a session as one JSON file; after the self-rating',
    params,
    response: debriefSchema,
    media: 'application/json',
    problems: { trainingOff: 404, ...KNOWN, sessionState: 409, ratingMissing: 409 },
  }),
  deleteTrainingSession: route({
    method: 'delete',
    path: `${BASE}/{id}`,
    operationId: 'deleteTrainingSession',
    may: 'train',
    summary: 'Deletes a session for good, and says what stays elsewhere',
    params,
    response: sessionDeletedSchema,
    header: trainer,
    problems: { ...OF_TRAINER, ...KNOWN, sessionState: 409 },
  }),
} as const;
