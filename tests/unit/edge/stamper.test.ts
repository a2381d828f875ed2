import { describe, expect, it } from 'vitest';
import { eventSchema } from '#core/messages/event';
import { passMessageSchema } from '#core/messages/pass';
import type { EngineAssignment, EngineEffect } from '#core/pass/engine-api';
import { Stamper } from '../../../edge/capture/stamper.ts';
import type { RecordClock } from '../../../edge/clock/record-clock.ts';
import { passMessage } from './pass-fixture.ts';

const STREAM = 'b'.repeat(32);
const T0 = Date.UTC(2026, 5, 1);

const clock: RecordClock = {
  nowUs: () => T0 * 1000,
  utcMinusRecordMs: () => 0,
  utcOf: us => new Date(us / 1000).toISOString(),
  state: () => 'synced',
  reading: () => ({ state: 'synced', offsetMs: null }),
  check: () => null,
  mark: () => ({}),
  awayKnown: true,
};

const ASSIGNMENT: EngineAssignment = {
  id: 'as-7',
  joint: 'J-7',
  side: 'B',
  pass: 'root',
  outsideDiameterMm: 610,
  startDegrees: 0,
  procedureId: 'example-610',
  procedureRevision: 2,
  procedure: null,
};

function stamper(state: Record<string, string> = {}): Stamper {
  return new Stamper({ address: { site: 's', rig: 'r' }, origin: 'simulated', stream: STREAM, clock, state });
}

function passEffect(index: number, state: 'open' | 'closed', continues: number | null = null) {
  const { pass } = passMessage();
  return {
    kind: 'pass',
    state,
    startUs: T0 * 1000,
    endUs: T0 * 1000 + 1_000_000,
    pass: { ...pass, index, continues },
    deviations: [],
    windows: [],
    geometry: { travelRatio: 1, thermalEfficiency: 0.8 },
    assignment: ASSIGNMENT,
  } satisfies EngineEffect;
}

/** State as a store would hand it over after this stamper's last batch. */
function saved(from: Stamper): Record<string, string> {
  return Object.fromEntries(
    Object.entries(from.resumeState()).filter((e): e is [string, string] => e[1] !== null),
  );
}

describe('the stamper', () => {
  it('numbers events along the stream, also across a restart', () => {
    const first = stamper();
    const tell = (s: Stamper) => s.shellEvent({ type: 'storage', text: 'x', data: {} }).id;
    expect([tell(first), tell(first)]).toEqual([`${STREAM}:1`, `${STREAM}:2`]);
    const second = stamper(saved(first));
    expect(tell(second)).toBe(`${STREAM}:3`);
  });

  it('makes events and passes that their schemas accept, with UTC by the clock map', () => {
    const s = stamper();
    const event = s.event({
      kind: 'event',
      type: 'arcStart',
      tUs: T0 * 1000 + 5000,
      passIndex: 1,
      text: 'Arc on.',
      data: {},
    });
    expect(eventSchema.parse(event).at).toBe('2026-06-01T00:00:00.005Z');
    const pass = passMessageSchema.parse(s.pass(passEffect(1, 'closed')));
    expect(pass).toMatchObject({
      passId: `${STREAM}:p1`,
      joint: 'J-7',
      side: 'B',
      assignmentId: 'as-7',
      procedureRevision: 2,
      endUtc: '2026-06-01T00:00:01.000Z',
      clock: { state: 'synced' },
    });
  });

  it('clips text that is too long rather than make a message nobody accepts', () => {
    const event = stamper().shellEvent({
      type: 'storage',
      text: 'x'.repeat(1000),
      data: { a: 'y'.repeat(1000) },
    });
    expect(eventSchema.safeParse(event).success).toBe(true);
  });

  it('lets a new engine go on with the pass numbers and the first pass of the work', () => {
    const first = stamper();
    first.pass(passEffect(4, 'closed'));
    first.pass(passEffect(5, 'closed', 4));
    expect(stamper(saved(first)).engineResume()).toEqual({
      lastPassIndex: 5,
      openPass: expect.objectContaining({ index: 4, assignmentId: 'as-7', travelMmPerS: 0 }),
    });
    expect(stamper().engineResume()).toEqual({ lastPassIndex: 0, openPass: null });
  });

  it('closes a pass that was open when the edge died, and says why its values stand where they do', () => {
    const first = stamper();
    first.pass(passEffect(3, 'open'));
    const second = stamper(saved(first));
    const orphan = passMessageSchema.parse(second.orphan());
    expect(orphan).toMatchObject({ passId: `${STREAM}:p3`, state: 'closed' });
    expect(orphan.pass.reasons.map(({ code }) => code)).toEqual(['recorderRestarted']);
    expect(second.orphan()).toBeNull();
    expect(stamper(saved(second)).orphan()).toBeNull();
  });

  it('has no orphan where the pass was closed', () => {
    const first = stamper();
    first.pass(passEffect(3, 'open'));
    first.pass(passEffect(3, 'closed'));
    expect(stamper(saved(first)).orphan()).toBeNull();
  });

  it('starts afresh on state it cannot read', () => {
    expect(stamper({ openPass: '{"old":1}', firstPassOfWork: 'x' }).orphan()).toBeNull();
  });
});
