import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  initialLink,
  type LinkInput,
  type LinkState,
  type LinkStep,
  stallUsOf,
  stepLink,
} from '../../../edge/source/link-machine.ts';
import { problem, problemOf } from '../../../edge/source/link-problem.ts';

const MS = 1000;
const S = 1_000_000;
const SETTINGS = { name: '/dev/ttyRig', stallUs: 500 * MS, hasNode: false, hint: null };
const gone = problem('gone', '/dev/ttyRig is gone');

/** Runs inputs at times; the effects of all steps and the last state. */
function run(steps: readonly (readonly [number, LinkInput])[], from = initialLink(0)): LinkStep {
  let state = from;
  const effects: LinkStep['effects'][number][] = [];
  for (const [atUs, input] of steps) {
    const step = stepLink(state, input, atUs, SETTINGS);
    state = step.state;
    effects.push(...step.effects);
  }
  return { state, effects };
}

const due = (frameUs: number | null, sampleUs: number | null, present: boolean | null = null): LinkInput => ({
  type: 'due',
  frameUs,
  sampleUs,
  present,
});
const STREAMING: readonly (readonly [number, LinkInput])[] = [
  [0, { type: 'start' }],
  [1 * MS, { type: 'opened' }],
  [2 * MS, { type: 'samples' }],
];

describe('the life of a link', () => {
  it('goes absent, opening, open, streaming, stalled, closing and opening again', () => {
    const names: string[] = [initialLink(0).name];
    let state = initialLink(0);
    const steps: [number, LinkInput][] = [
      ...(STREAMING as [number, LinkInput][]),
      [502 * MS, due(2 * MS, 2 * MS)],
      [3502 * MS, due(2 * MS, 2 * MS)],
      [3503 * MS, { type: 'closed' }],
    ];
    for (const [atUs, input] of steps) {
      state = stepLink(state, input, atUs, SETTINGS).state;
      names.push(state.name);
    }
    expect(names).toEqual(['absent', 'opening', 'open', 'streaming', 'stalled', 'closing', 'opening']);
  });

  it('looks again while data comes, with one timer', () => {
    const { state } = run([...STREAMING, [502 * MS, due(400 * MS, 400 * MS)]]);
    expect(state).toMatchObject({ name: 'streaming', dueUs: 900 * MS, detail: null });
  });

  it('notices within 50 ms that the node it opened is gone, though no read says so', () => {
    const settings = { ...SETTINGS, hasNode: true };
    let state = initialLink(0);
    for (const [atUs, input] of STREAMING) state = stepLink(state, input, atUs, settings).state;
    expect(state.dueUs).toBe(52 * MS);
    state = stepLink(state, due(50 * MS, 50 * MS, true), 52 * MS, settings).state;
    expect(state).toMatchObject({ name: 'streaming', dueUs: 102 * MS });
    const step = stepLink(state, due(90 * MS, 90 * MS, false), 102 * MS, settings);
    expect(step.effects).toEqual(['close']);
    expect(step.state).toMatchObject({ name: 'absent', problem: gone });
  });

  it('streams again from stalled as soon as samples come', () => {
    const { state } = run([...STREAMING, [502 * MS, due(null, 2 * MS)], [900 * MS, { type: 'samples' }]]);
    expect(state).toMatchObject({ name: 'streaming', sinceUs: 900 * MS, detail: null });
  });

  it('waits for the announcement while frames come that it cannot read yet', () => {
    const { state } = run([
      [0, { type: 'start' }],
      [0, { type: 'opened' }],
      [500 * MS, due(450 * MS, null)],
    ]);
    expect(state).toMatchObject({
      name: 'open',
      detail: 'waiting for the device to announce its channels',
      dueUs: 950 * MS,
    });
  });

  it('backs off from 200 ms to 10 s and says when it tries again', () => {
    let state = run([[0, { type: 'start' }]]).state;
    const waits: string[] = [];
    let now = 0;
    for (let k = 0; k < 8; k++) {
      state = stepLink(state, { type: 'down', problem: gone }, now, SETTINGS).state;
      waits.push(/again in ([\d.]+ s)/.exec(state.detail ?? '')?.[1] ?? '');
      now = state.retryUs;
      state = stepLink(state, due(null, null), now, SETTINGS).state;
      expect(state.name).toBe('opening');
    }
    expect(waits).toEqual(['0.2 s', '0.4 s', '0.8 s', '1.6 s', '3.2 s', '6.4 s', '10 s', '10 s']);
    expect(state.detail).toContain('/dev/ttyRig is gone: trying again in');
  });

  it('opens a node that came back at its next look, however long the back-off', () => {
    let state = run([...STREAMING, [3 * MS, { type: 'down', problem: gone }]]).state;
    let now = 3 * MS;
    while (now < 60 * S) {
      now = state.dueUs!;
      const step = stepLink(state, due(null, null, false), now, SETTINGS);
      expect(step.effects).toEqual([]);
      state = step.state;
      expect(state.dueUs! - now).toBeLessThanOrEqual(200 * MS);
    }
    expect(state.detail).toContain('trying again in 10 s, or as soon as it is back');
    const back = stepLink(state, due(null, null, true), state.dueUs!, SETTINGS);
    expect(back.effects).toEqual(['open']);
  });

  it('does not hammer a node that is there but cannot be opened', () => {
    let state = run([...STREAMING, [3 * MS, { type: 'down', problem: gone }]]).state;
    let attempts = 0;
    let now = 0;
    while (now < 60 * S) {
      now = state.dueUs!;
      const step = stepLink(state, due(null, null, true), now, SETTINGS);
      state = step.state;
      if (step.effects.includes('open')) {
        attempts++;
        state = stepLink(state, { type: 'down', problem: gone }, now, SETTINGS).state;
      }
    }
    expect(attempts).toBeLessThan(14);
  });

  it('tries a busy port at least every second', () => {
    let state = run([[0, { type: 'start' }]]).state;
    for (let k = 0; k < 12; k++) {
      const at = state.dueUs!;
      state = stepLink(state, { type: 'down', problem: problem('busy', 'busy') }, at, SETTINGS).state;
      expect(state.retryUs - at).toBeLessThanOrEqual(1 * S);
      state = stepLink(state, due(null, null), state.retryUs, SETTINGS).state;
    }
  });

  it('waits longer for a device that never speaks, so that it can start up', () => {
    let state = initialLink(0);
    const patience: number[] = [];
    let now = 0;
    state = stepLink(state, { type: 'start' }, now, SETTINGS).state;
    for (let k = 0; k < 6; k++) {
      state = stepLink(state, { type: 'opened' }, now, SETTINGS).state;
      now = state.dueUs!;
      state = stepLink(state, due(null, null), now, SETTINGS).state;
      expect(state.name).toBe('stalled');
      patience.push((state.dueUs! - now) / S);
      now = state.dueUs!;
      state = stepLink(state, due(null, null), now, SETTINGS).state;
      state = stepLink(state, { type: 'closed' }, now, SETTINGS).state;
    }
    expect(patience).toEqual([3, 6, 12, 24, 30, 30]);
  });

  it.each([
    [
      'absent',
      [
        [0, { type: 'start' }],
        [1, { type: 'down', problem: gone }],
        [2, { type: 'stop' }],
      ],
      'ended',
    ],
    [
      'opening',
      [
        [0, { type: 'start' }],
        [1, { type: 'stop' }],
      ],
      'closing',
    ],
    ['streaming', [...STREAMING, [5 * MS, { type: 'stop' }]], 'closing'],
    ['streaming, closed', [...STREAMING, [5 * MS, { type: 'stop' }], [6 * MS, { type: 'closed' }]], 'ended'],
  ] as const)('stops from %s', (_name, steps, name) => {
    expect(run(steps).state.name).toBe(name);
  });

  it('is never without a timer while it waits, whatever happens', () => {
    const input: fc.Arbitrary<LinkInput> = fc.oneof(
      fc.constantFrom<LinkInput>(
        { type: 'start' },
        { type: 'opened' },
        { type: 'closed' },
        { type: 'samples' },
      ),
      fc.constantFrom<LinkInput>({ type: 'down', problem: gone }),
      fc.record({
        type: fc.constant('due' as const),
        frameUs: fc.option(fc.nat(60 * S)),
        sampleUs: fc.option(fc.nat(60 * S)),
        present: fc.option(fc.boolean()),
      }),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(2 * S), input), { maxLength: 60 }), inputs => {
        let now = 0;
        let state: LinkState = stepLink(initialLink(0), { type: 'start' }, 0, SETTINGS).state;
        for (const [waitUs, next] of inputs) {
          now += waitUs;
          const step = stepLink(state, next, now, SETTINGS);
          state = step.state;
          if (state.name !== 'closing') expect(state.dueUs).not.toBeNull();
          if (step.effects.includes('open')) expect(state.name).toBe('opening');
          if (step.effects.includes('close')) expect(['closing', 'absent']).toContain(state.name);
          expect(state.sinceUs).toBeLessThanOrEqual(now);
        }
      }),
    );
  });
});

describe('the watchdog', () => {
  it.each([
    [null, 500 * MS],
    [1 * MS, 500 * MS],
    [100 * MS, 500 * MS],
    [1 * S, 5 * S],
  ])('of a period of %s µs waits %s µs', (period, stall) => {
    expect(stallUsOf(period)).toBe(stall);
  });
});

describe('why a port cannot be used', () => {
  // Texts: Node.js system errors, and serialport 13 on Linux.
  it.each([
    ['Error: No such file or directory, cannot open /dev/ttyRig', undefined, 'missing', 'is not there'],
    ['Error: Permission denied, cannot open /dev/ttyRig', undefined, 'noPermission', 'group dialout'],
    ['Error: Error Resource temporarily unavailable Cannot lock port', undefined, 'busy', 'another program'],
    ['connect ECONNREFUSED 127.0.0.1:4001', 'ECONNREFUSED', 'refused', 'device server'],
    ['getaddrinfo ENOTFOUND rig.example', 'ENOTFOUND', 'unreachable', 'no host of that name'],
    ['connect EHOSTUNREACH 10.0.0.9:4001', 'EHOSTUNREACH', 'unreachable', 'cable'],
    ['read ECONNRESET', 'ECONNRESET', 'gone', 'is gone'],
    ['something new', undefined, 'failed', 'cannot be used: something new'],
  ])('%s', (message, code, name, words) => {
    const error = Object.assign(new Error(message), code === undefined ? {} : { code });
    const found = problemOf(error, '/dev/ttyRig');
    expect(found.code).toBe(name);
    expect(found.sentence).toContain(words);
    expect(found.sentence).toContain('/dev/ttyRig');
  });
});
