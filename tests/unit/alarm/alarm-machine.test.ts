/**
 * States and transitions: ISA-18.2 / IEC 62682 as OPC UA Part 9 restates them, from memory; that a pass is told
 * once, that HIGH latches, and what an end of suppression does are our own choices (docs/alarms.md).
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AlarmInput, alarmStep, LONGEST_SHELF_MS } from '#core/alarm/alarm-machine';
import {
  type AlarmState,
  availabilityOf,
  isActive,
  LIFECYCLES,
  type Lifecycle,
  NEW_ALARM,
  PRIORITIES,
  type Priority,
} from '#core/alarm/alarm-state';

const AT = 1_000_000;
const raise = (priority: Priority = 'medium', again = false): AlarmInput => ({
  type: 'raise',
  atMs: AT,
  priority,
  again,
});
const clear: AlarmInput = { type: 'clear', atMs: AT + 1 };
const ack: AlarmInput = { type: 'acknowledge', atMs: AT + 2, by: 'p-1', reason: null };
const reset: AlarmInput = { type: 'reset', atMs: AT + 3, by: 'p-1', reason: null };
const shelve = (untilMs = AT + 60_000, reason = 'wire being changed'): AlarmInput => ({
  type: 'shelve',
  shelf: { by: 'p-1', reason, atMs: AT, untilMs },
});
const unshelve: AlarmInput = { type: 'unshelve', atMs: AT + 4, by: 'p-1', reason: null };
const timeIs = (atMs: number): AlarmInput => ({ type: 'time', atMs });
const suppress: AlarmInput = { type: 'suppress', reason: 'arcOff', atMs: AT };
const unsuppress: AlarmInput = { type: 'suppress', reason: null, atMs: AT + 5 };
const remove: AlarmInput = {
  type: 'removeFromService',
  outOfService: { by: 'p-2', reason: 'gas sensor sent away', atMs: AT },
};
const giveBack: AlarmInput = { type: 'returnToService', atMs: AT + 6, by: 'p-2', reason: 'sensor is back' };

const fresh = (priority: Priority = 'medium', ofPass = true): AlarmState => ({
  ...NEW_ALARM,
  priority,
  ofPass,
});

/** Runs inputs; what each said, in short, beside the state at the end. */
function run(inputs: readonly AlarmInput[], from: AlarmState = fresh()) {
  let state = from;
  const said = inputs.map(input => {
    const step = alarmStep(state, input);
    state = step.state;
    return step.effects
      .map(effect =>
        effect.type === 'log'
          ? effect.what
          : effect.type === 'refuse'
            ? `refused ${effect.code}`
            : 'ANNOUNCED',
      )
      .join(', ');
  });
  return { state, said };
}

/** In each lifecycle, having been announced once and shown. */
function inLifecycle(lifecycle: Lifecycle, priority: Priority): AlarmState {
  const ways: Record<Lifecycle, readonly AlarmInput[]> = {
    normal: priority === 'high' ? [raise(priority), ack, clear, reset] : [raise(priority), ack, clear],
    unacked: [raise(priority)],
    acked: [raise(priority), ack],
    rtnUnacked: [raise(priority), clear],
    latched: [raise('high'), ack, clear],
  };
  const { state } = run(ways[lifecycle], fresh(priority));
  expect(state.lifecycle).toBe(lifecycle);
  return state;
}

describe('every lifecycle with every input', () => {
  /** [from, priority, input, to, what it says] */
  const table: readonly (readonly [Lifecycle, Priority, AlarmInput, Lifecycle, string])[] = [
    // Re-triggered in a pass that was told of it: to be acknowledged, counted, not announced.
    ['normal', 'medium', raise(), 'unacked', 'raisedAgain'],
    ['normal', 'high', raise('high'), 'unacked', 'raisedAgain, ANNOUNCED'],
    ['normal', 'medium', clear, 'normal', ''],
    ['normal', 'medium', ack, 'normal', 'refused alarmGone'],
    ['normal', 'medium', reset, 'normal', 'refused alarmGone'],
    ['unacked', 'medium', raise(), 'unacked', ''],
    ['unacked', 'medium', raise('medium', true), 'unacked', 'raisedAgain'],
    ['unacked', 'medium', raise('high'), 'unacked', 'escalated, ANNOUNCED'],
    ['unacked', 'medium', raise('low'), 'unacked', ''],
    ['unacked', 'medium', clear, 'rtnUnacked', 'cleared'],
    ['unacked', 'high', clear, 'rtnUnacked', 'cleared'],
    ['unacked', 'medium', ack, 'acked', 'acknowledged'],
    ['unacked', 'high', reset, 'unacked', 'refused conditionTrue'],
    ['acked', 'medium', raise(), 'acked', ''],
    ['acked', 'medium', raise('medium', true), 'unacked', 'raisedAgain'],
    ['acked', 'medium', raise('high'), 'unacked', 'escalated, ANNOUNCED'],
    ['acked', 'medium', clear, 'normal', 'cleared'],
    ['acked', 'high', clear, 'latched', 'cleared'],
    ['acked', 'medium', ack, 'acked', ''],
    ['acked', 'high', reset, 'acked', 'refused conditionTrue'],
    ['rtnUnacked', 'medium', raise(), 'unacked', 'raisedAgain'],
    ['rtnUnacked', 'high', raise('high'), 'unacked', 'raisedAgain'],
    ['rtnUnacked', 'medium', clear, 'rtnUnacked', ''],
    ['rtnUnacked', 'medium', ack, 'normal', 'acknowledged'],
    ['rtnUnacked', 'high', ack, 'latched', 'acknowledged'],
    ['rtnUnacked', 'high', reset, 'rtnUnacked', 'refused acknowledgeFirst'],
    ['latched', 'high', raise('high'), 'unacked', 'raisedAgain, ANNOUNCED'],
    ['latched', 'high', clear, 'latched', ''],
    ['latched', 'high', ack, 'latched', ''],
    ['latched', 'high', reset, 'normal', 'reset'],
  ];
  it.each(table)('%s, %s: %j → %s', (from, priority, input, to, says) => {
    const { state, said } = run([input], inLifecycle(from, priority));
    expect([state.lifecycle, ...said]).toEqual([to, says]);
  });

  it('the table holds every pair there is', () => {
    const pairs = new Set(table.map(([from, , input]) => `${from} ${input.type}`));
    expect(pairs.size).toBe(LIFECYCLES.length * 4);
  });

  it.each(LIFECYCLES)(
    '%s: availability moves no lifecycle but what is true when it comes back',
    lifecycle => {
      const before = inLifecycle(lifecycle, lifecycle === 'latched' ? 'high' : 'medium');
      for (const away of [shelve(), remove, suppress]) {
        expect(run([away], before).state.lifecycle).toBe(lifecycle);
      }
      const says = isActive(before) ? ', ANNOUNCED' : '';
      const after = isActive(before) ? 'unacked' : lifecycle;
      for (const [away, back, what] of [
        [shelve(), unshelve, 'unshelved'],
        [shelve(AT + 500), timeIs(AT + 500), 'shelfEnded'],
        [remove, giveBack, 'returnedToService'],
      ] as const) {
        const { state, said } = run([away, back], before);
        expect([state.lifecycle, said[1]]).toEqual([after, `${what}${says}`]);
      }
      // What was on the screen before the arc stopped goes on as it was.
      expect(run([suppress, unsuppress], before).state).toEqual(before);
    },
  );
});

describe('an alarm over time', () => {
  it('is announced once for a pass and counted afterwards', () => {
    const { state, said } = run([raise(), clear, raise(), clear, ack, raise(), ack, clear, raise()]);
    expect(said.join().match(/ANNOUNCED/g)).toHaveLength(1);
    expect(said[0]).toBe('raised, ANNOUNCED');
    expect(state).toMatchObject({ lifecycle: 'unacked', count: 4 });
  });

  it('of no pass is announced each time it comes back after someone had answered', () => {
    const { said } = run([raise('low'), clear, raise('low'), ack, clear, raise('low')], fresh('low', false));
    expect(said).toEqual([
      'raised, ANNOUNCED',
      'cleared',
      'raisedAgain',
      'acknowledged',
      'cleared',
      'raisedAgain, ANNOUNCED',
    ]);
  });

  it('HIGH stays, normal and acknowledged, until it is reset; reset and acknowledging keep their order', () => {
    const { state, said } = run([raise('high'), reset, clear, reset, ack, reset, reset], fresh('high'));
    expect(said.slice(1)).toEqual([
      'refused conditionTrue',
      'cleared',
      'refused acknowledgeFirst',
      'acknowledged',
      'reset',
      'refused alarmGone',
    ]);
    expect(state.lifecycle).toBe('normal');
  });

  it('acknowledging is a person and a time, and new occurrences want a new one', () => {
    expect(run([raise(), ack]).state.acknowledged).toEqual({ by: 'p-1', atMs: AT + 2 });
    expect(run([raise(), ack, clear, raise()]).state.acknowledged).toBeNull();
  });
});

describe('availability', () => {
  it('names the strongest reason for silence', () => {
    expect(availabilityOf(run([suppress]).state)).toBe('suppressedByDesign');
    expect(availabilityOf(run([suppress, shelve()]).state)).toBe('shelved');
    expect(availabilityOf(run([suppress, shelve(), remove]).state)).toBe('outOfService');
  });

  it.each([
    ['on the shelf', shelve()],
    ['out of service', remove],
    ['suppressed', suppress],
  ])('%s nothing is announced, and what came and went unseen wants nobody', (_, away) => {
    const { state, said } = run([away, raise('high'), clear], fresh('high'));
    expect(said.join()).not.toContain('ANNOUNCED');
    expect(state.lifecycle).toBe('normal');
  });

  it('what began during suppression is told when it ends', () => {
    expect(run([suppress, raise(), unsuppress]).said[2]).toBe('ANNOUNCED');
    // Not a second time in one pass, but it is on the screen and wants a person.
    const again = run([raise(), ack, clear, suppress, raise(), unsuppress, clear]);
    expect(again.said.slice(4)).toEqual(['raisedAgain', '', 'cleared']);
    expect(again.state.lifecycle).toBe('rtnUnacked');
  });

  it('a shelf ends by itself, not before its time, and only once', () => {
    const { state, said } = run([
      raise(),
      ack,
      shelve(AT + 1000),
      timeIs(AT + 999),
      timeIs(AT + 1000),
      timeIs(AT + 2000),
    ]);
    expect(said.slice(3)).toEqual(['', 'shelfEnded, ANNOUNCED', '']);
    expect(state).toMatchObject({ lifecycle: 'unacked', shelf: null, acknowledged: null });
  });

  it('a shelf that ends while the alarm is out of service announces nothing', () => {
    expect(run([raise(), shelve(AT + 1000), remove, timeIs(AT + 1000)]).said[3]).toBe('shelfEnded');
  });

  it.each([
    ['without an end', shelve(Number.NaN)],
    ['of no length', shelve(AT)],
    ['longer than a shift', shelve(AT + LONGEST_SHELF_MS + 1)],
    ['without a reason', shelve(AT + 1000, '  ')],
  ])('a shelf %s is refused', (_, input) => {
    expect(run([input]).said).toEqual(['refused shelfInvalid']);
  });

  it('taking back what is not away is refused', () => {
    expect(run([unshelve, giveBack]).said).toEqual(['refused notShelved', 'refused notOutOfService']);
  });

  it('an acknowledgement counts while the alarm is on the shelf', () => {
    expect(run([raise(), shelve(), ack]).state.lifecycle).toBe('acked');
  });
});

describe('a restart', () => {
  it('restores every state from text, and conditions said again make no sound', () => {
    for (const lifecycle of ['unacked', 'acked'] as const) {
      const kept = JSON.parse(JSON.stringify(inLifecycle(lifecycle, 'high'))) as AlarmState;
      const { state, said } = run([raise('high'), raise('high'), timeIs(AT + 1e6)], kept);
      expect(said).toEqual(['', '', '']);
      expect(state).toEqual(kept);
    }
  });
});

describe('whatever happens, in whatever order', () => {
  const inputs = fc.array(
    fc.oneof(
      ...[clear, ack, reset, shelve(), unshelve, suppress, unsuppress, remove, giveBack].map(input =>
        fc.constant(input),
      ),
      ...PRIORITIES.map(priority => fc.constant(raise(priority))),
      fc.constant(timeIs(AT + 120_000)),
    ),
    { maxLength: 40 },
  );
  it('an announcement is of something true, unacknowledged and in service', () => {
    fc.assert(
      fc.property(inputs, all => {
        let state = fresh();
        for (const input of all) {
          const step = alarmStep(state, input);
          state = step.state;
          expect(state.shelf === null || Number.isFinite(state.shelf.untilMs)).toBe(true);
          expect(state.lifecycle === 'latched' && state.priority !== 'high').toBe(false);
          if (!step.effects.some(({ type }) => type === 'announce')) continue;
          expect([state.lifecycle, availabilityOf(state)]).toEqual(['unacked', 'inService']);
        }
      }),
    );
  });
});
