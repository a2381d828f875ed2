/** The screens of training in front of the server's own routes, with a stand-in for the simulator's control. */

import type { Page } from 'playwright-core';
import { onTestFinished } from 'vitest';
import { TRAINER_HEADER } from '#core/training/names';
import { trainerLink } from '#core/training/trainer-link';
import type { RigFixture } from './dashboard-fixtures.ts';
import { readEvents } from './sse-reader.ts';
import { startTestDashboard, type TestDashboard } from './test-dashboard.ts';
import { seal, testBody, testDeviation, testPass } from './test-records.ts';
import { throughServer } from './through-server.ts';
import { CONTROL_TOKEN, startTestControl, type TestControl } from './training-control.ts';
import { trainingWindow } from './training-session.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

const TRAINER_KEY = 'key-of-the-trainer';
const SESSIONS = '/api/v1/training/sessions';

/** The two rigs of the stand-in's lesson, as the live view has them. */
const LIVE_RIGS: readonly RigFixture[] = [
  { rig: 'rig-a', place: 0, alongMm: 400, joint: 'T-0001', pass: 'fill 1' },
  { rig: 'rig-b', place: 1, alongMm: 430, joint: 'T-0001', pass: 'fill 1' },
];

/** `agoS` before now. */
export const ago = (agoS: number): string => new Date(Date.now() - agoS * 1000).toISOString();

/** One signal open on side A since 8 s, a decoy on side B, one signal to come. */
export const windowsNow = (): TestControl['truth'] => [
  trainingWindow('s1', 0, 0, {
    fault: 'stickOutGrowth',
    joint: 'T-0001',
    beganUtc: ago(8),
    endedUtc: null,
    fromMm: 320,
    toMm: 520,
  }),
  trainingWindow('d1', 0, 0, {
    kind: 'decoy',
    fault: 'feedOffset',
    size: 3,
    rig: 'rig-b',
    side: 'B',
    joint: 'T-0001',
    beganUtc: ago(8),
    endedUtc: null,
    fromMm: 300,
    toMm: null,
    channels: [],
    actions: ['leaveAlone'],
  }),
  trainingWindow('s2', null, null, { fault: 'gasLost', size: 60, rig: 'rig-b', side: 'B', joint: 'T-0001' }),
];

export interface TrainingPages {
  readonly dashboard: TestDashboard;
  readonly control: TestControl;
  /** A browser of the trainee, or of the trainer by the link. */
  readonly trainee: (hash: string, options?: OpenOptions) => Promise<Page>;
  readonly trainer: (options?: OpenOptions) => Promise<Page>;
  /** Steps of a session without a screen; the trainer's, with the key. */
  readonly post: (path: string, body: unknown) => Promise<Response>;
  /** Opens the stand-in's lesson; its id. */
  readonly opened: (mode?: 'practice' | 'check') => Promise<string>;
  /** As welded on rig-a in the time of the session. */
  readonly weld: () => Promise<void>;
}

export async function trainingPages({ open, fake }: WebPage): Promise<TrainingPages> {
  const control = await startTestControl();
  const dashboard = await startTestDashboard({
    training: { controlUrl: control.url, token: CONTROL_TOKEN, trainerKey: TRAINER_KEY },
  });
  const { frames } = await readEvents(`${dashboard.url}/api/v1/stream`);
  let told = 0;
  // The page's stream is the stand-in's: what the real one says of training goes into it.
  const timer = setInterval(() => {
    for (const { event, data } of frames.slice(told)) if (event === 'training') fake().send(event, data);
    told = frames.length;
  }, 20);
  onTestFinished(() => clearInterval(timer));
  const prepare = (page: Page): Promise<void> =>
    throughServer(page, dashboard, /\/api\/v1\/(training\b|joints\/[^/]+\/review)/);
  const post = (path: string, body: unknown) =>
    dashboard.post(`${SESSIONS}${path}`, body, { [TRAINER_HEADER]: TRAINER_KEY });
  return {
    dashboard,
    control,
    post,
    trainee: (hash, options = {}) => open(LIVE_RIGS, { ...options, hash, prepare }),
    trainer: (options = {}) =>
      open(LIVE_RIGS, { ...options, hash: new URL(trainerLink(fake().url, TRAINER_KEY)).hash, prepare }),
    opened: async (mode = 'check') => {
      const body = { trainee: 'T. Learner', trainer: 'B. Teacher', lesson: 'stick-out', mode };
      return ((await (await post('', body)).json()) as { id: string }).id;
    },
    weld: async () => {
      const pass = testPass(1, {
        joint: 'T-0001',
        startUtc: ago(60),
        endUtc: ago(-600),
        deviations: [testDeviation(61)],
      });
      dashboard.receive(
        'girthlog/1/spread-1/rig-a/record',
        seal(JSON.stringify(testBody({ passes: [pass] })), 1),
      );
      await dashboard.settle();
    },
  };
}
