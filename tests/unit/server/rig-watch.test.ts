import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Alarms } from '#core/messages/alarms';
import type { Rig } from '#core/messages/api';
import type { Live } from '#core/messages/live';
import { RigWatch } from '../../../dashboard/server/alarms/rig-watch.ts';
import { condition, type DeskBench, deskBench, RIG_A } from '../../support/alarm-desk.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS, testLive } from '../../support/test-records.ts';

const SEATED: Rig = {
  ...RIG_A,
  place: 0,
  info: null,
  status: null,
  health: null,
  live: null,
  alarms: null,
  assignment: null,
};
const statusOf = (state: 'ready' | 'lost' | 'stopped') =>
  ({ origin: 'simulated', state, at: new Date(START_MS).toISOString() }) as const;
const alarmsOf = (...conditions: Alarms['conditions']): Alarms => ({
  origin: 'simulated',
  at: new Date(START_MS).toISOString(),
  conditions,
});

class Bench {
  readonly desk: DeskBench = deskBench(join(tempDir(), 'data'));
  linked = true;
  ms = 0;
  rig: Rig = SEATED;
  private tUs = 1;
  readonly watch: RigWatch = new RigWatch({
    desk: this.desk.desk,
    monotonicMs: () => this.ms,
    now: () => new Date(this.desk.ms),
    isLinked: () => this.linked,
  });

  set(parts: Partial<Rig>): void {
    this.rig = { ...this.rig, ...parts };
    this.watch.rig(this.rig);
  }

  live(arc: Live['arc']): void {
    const work = {
      joint: 'J-1',
      side: 'A',
      pass: 'fill 1',
      procedureId: 'example',
      procedureRevision: 1,
    } as const;
    const position = { circumferentialMm: 400, clock: 8, alongMm: 400, uncertaintyMm: 5 };
    this.watch.live(RIG_A, { ...testLive(this.tUs++), arc, assignment: { id: 'a1', ...work }, position });
  }

  /** Seconds in which the rig says what it says, ten times each, or nothing. */
  wait(seconds: number, arc: Live['arc'] | null): void {
    for (let i = 0; i < seconds * 10; i++) {
      this.ms += 100;
      this.desk.ms += 100;
      if (arc) this.live(arc);
      if (this.ms % 1000 === 0) {
        this.watch.tick();
        this.desk.desk.tick();
      }
    }
  }

  get states(): string[] {
    return this.desk.alarms().map(({ cause, priority, lifecycle }) => `${cause} ${priority} ${lifecycle}`);
  }
}

/** Seen, ready, and saying that its arc is `arc`. */
function running(arc: Live['arc']): Bench {
  const bench = new Bench();
  bench.set({ status: statusOf('ready') });
  bench.watch.tick();
  bench.wait(5, arc);
  expect(bench.states).toEqual([]);
  return bench;
}

describe('what the dashboard sees of a rig', () => {
  it('a lost edge is HIGH where its arc burned: whether that is recorded cannot be seen', () => {
    const bench = running('on');
    bench.set({ status: statusOf('lost') });
    expect(bench.states).toEqual(['edgeLost high unacked']);
    expect(bench.desk.only()).toMatchObject({
      work: { joint: 'J-1', side: 'A', pass: 'fill 1' },
      place: { alongMm: 400, clock: 8 },
      heard: true,
    });
    // What the dashboard saw itself is known though the edge is not heard.
    expect(bench.watch.isHeard('spread-1', 'rig-a')).toBe(false);
    bench.set({ status: statusOf('ready') });
    bench.live('on');
    expect(bench.states).toEqual(['edgeLost high rtnUnacked']);
  });

  it('a rig that is seen for the first time is not lost before it could have said anything', () => {
    const bench = new Bench();
    bench.watch.tick();
    bench.wait(60, null);
    bench.set({ status: statusOf('ready') });
    expect(bench.states).toEqual([]);
    bench.wait(10, null);
    expect(bench.states).toEqual([]);
    bench.wait(1, null);
    expect(bench.states).toEqual(['edgeLost medium unacked']);
  });

  it('and MEDIUM where it did not; an edge that was stopped is not lost', () => {
    const bench = running('off');
    bench.set({ status: statusOf('lost') });
    expect(bench.states).toEqual(['edgeLost medium unacked']);
    bench.set({ status: statusOf('stopped') });
    bench.wait(60, null);
    expect(bench.states).toEqual(['edgeLost medium rtnUnacked']);
  });

  it.each([
    ['on', 5, 'edgeLost high unacked'],
    ['off', 10, 'edgeLost medium unacked'],
  ] as const)(
    'silent with the arc %s for more than %d s is lost too, and one alarm with what the broker says',
    (arc, seconds, is) => {
      const bench = running(arc);
      bench.wait(seconds, null);
      expect(bench.states).toEqual([]);
      bench.wait(1, null);
      expect(bench.states).toEqual([is]);
      bench.set({ status: statusOf('lost') });
      expect(bench.states).toEqual([is]);
      expect(bench.desk.said().filter(what => what === 'announced')).toHaveLength(1);
    },
  );

  it('without the broker that is one alarm, not one for each rig, and edges have time to come back', () => {
    const bench = running('on');
    bench.linked = false;
    bench.wait(10, null);
    expect(bench.states).toEqual([]);
    bench.wait(2, null);
    expect(bench.states).toEqual(['brokerLost medium unacked']);
    bench.linked = true;
    bench.wait(4, null);
    expect(bench.states).toEqual(['brokerLost medium rtnUnacked']);
    bench.wait(3, 'on');
    expect(bench.states).toEqual(['brokerLost medium rtnUnacked']);
  });

  it('what a rig said of alarms before goes on when it says the same again, and ends when it says so', () => {
    const bench = running('on');
    const said = alarmsOf(condition());
    bench.set({ alarms: said });
    bench.set({ alarms: { ...said, at: new Date(START_MS + 1000).toISOString() } });
    expect(bench.states).toEqual(['outOfRange medium unacked']);
    bench.set({ alarms: alarmsOf() });
    expect(bench.states).toEqual(['outOfRange medium rtnUnacked']);
    // Of another rig nothing has ended.
    bench.set({ alarms: said });
    bench.watch.rig({ ...SEATED, rig: 'rig-b', alarms: alarmsOf() });
    expect(bench.states).toEqual(['outOfRange medium unacked']);
  });

  it('conditions of the weld are suppressed without an arc, for 2 s from its start, and from its end on', () => {
    const bench = running('off');
    bench.set({ alarms: alarmsOf(condition()) });
    const availability = (): string => bench.desk.only().availability;
    expect(availability()).toBe('suppressedByDesign');
    bench.wait(1.9, 'on');
    expect(availability()).toBe('suppressedByDesign');
    bench.wait(2, 'on');
    expect(availability()).toBe('inService');
    // An arc that cannot be told is not an arc that is off.
    bench.wait(3, 'noData');
    expect(availability()).toBe('inService');
    bench.wait(0.1, 'off');
    expect(availability()).toBe('suppressedByDesign');
  });
});
