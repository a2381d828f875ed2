/** The pages of changes along the weld in front of the server's own routes, over invented joints. */
import type { Page } from 'playwright-core';
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import type { DriftCall, PassDrift } from '#core/messages/drift';
import type { PassMessage } from '#core/messages/pass';
import { journal } from './http-journal.ts';
import { seal, testBody, testDeviation, testPass } from './test-records.ts';
import { goTo, throughServer } from './through-server.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

export const DRIFT_CALL: DriftCall = {
  number: 1,
  rule: 'drifting',
  quantity: 'weldingCurrent',
  unit: 'A',
  direction: 'low',
  shape: 'ramp',
  fromS: 70,
  fromMm: 180,
  calledS: 85,
  calledMm: 290,
  toS: null,
  toMm: null,
  fromClock: 1.2,
  toClock: null,
  baseline: 236,
  change: -18,
  changeSigma: -4.2,
  crossing: null,
  contributions: [],
  depositChangePercent: null,
  text: 'Welding current 18 A below this rig’s good welds (4.2 σ), from 180 mm on.',
  looksLike: [],
};

const drift = (calls: readonly DriftCall[]): PassDrift => ({
  settings: DEFAULT_DRIFT_SETTINGS,
  baselines: [],
  windows: [],
  calls: [...calls],
  callsCut: 0,
  notJudged: [],
  passEndMm: null,
  teaches: { good: calls.length === 0, why: calls.length === 0 ? null : 'a change was called' },
});

/** Twelve joints with both sides of "fill 1"; side B of the ninth drew far too little current. */
function invented(): PassMessage[] {
  const { pass } = testPass(2);
  return Array.from({ length: 24 }, (_, i): PassMessage => {
    const joint = Math.floor(i / 2) + 1;
    const side = i % 2 === 0 ? 'A' : 'B';
    const odd = joint === 9 && side === 'B';
    return testPass(i + 2, {
      joint: `J-01${String(joint).padStart(2, '0')}`,
      side,
      pass: {
        ...pass,
        index: i + 2,
        startS: (i + 2) * 60,
        meanCurrentA: odd ? 205 : 234 + ((i * 7) % 5),
        runOutLengthMm: 955 + (i % 3),
        drift: drift(odd ? [DRIFT_CALL] : []),
      },
      deviations: odd ? [testDeviation((i + 2) * 60 + 5)] : [],
    });
  });
}

/** As many as a record's size allows. */
const PER_RECORD = 6;

/** One of the pages, with a server whose journal takes what is entered. */
export async function openChanges(
  open: WebPage['open'],
  hash: string,
  options: OpenOptions = {},
): Promise<{ page: Page; server: Awaited<ReturnType<typeof journal>> }> {
  const server = await journal();
  const passes = invented();
  let prev: string | undefined;
  for (let i = 0; i < passes.length; i += PER_RECORD) {
    const body = JSON.stringify(testBody({ passes: passes.slice(i, i + PER_RECORD) }));
    const record = seal(body, 22 + i / PER_RECORD, prev);
    prev = record.hash;
    server.receive('girthlog/1/spread-1/rig-a/record', record);
  }
  await server.settle();
  const page = await open([], { ...options, hash: '#/about' });
  await throughServer(page, server, /\/api\/v1\/(watch|calls|pass-types|over-joints|entries|people)\b/);
  await goTo(page, hash);
  return { page, server };
}
