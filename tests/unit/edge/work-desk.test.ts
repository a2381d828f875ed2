import { describe, expect, it } from 'vitest';
import type { Assignment } from '#core/messages/assignment';
import type { EngineAssignment } from '#core/pass/engine-api';
import type { Procedure } from '#core/procedure/procedure';
import type { ShellEvent } from '../../../edge/capture/stamper.ts';
import { WorkDesk } from '../../../edge/capture/work-desk.ts';
import type { InternalEvents } from '../../../edge/internal-events.ts';

const ASSIGNMENT: Assignment = {
  origin: 'simulated',
  id: 'as-1',
  at: '2026-06-01T08:00:00.000Z',
  author: 'p-1',
  work: {
    joint: 'J-1',
    side: 'A',
    pass: 'root',
    procedureId: 'wps-1',
    procedureRevision: 1,
    outsideDiameterMm: 610,
    startDegrees: 0,
  },
};

function procedure(revision = 1, id = 'wps-1', title = 'an example'): Procedure {
  return {
    schema: 'girthlog.procedure/1',
    id,
    revision,
    title,
    passes: [{ name: 'root', type: 'root', limits: [] }],
  };
}

function bench(state: Record<string, string> = {}) {
  const saved: Record<string, string> = { ...state };
  const assigned: (EngineAssignment | null)[] = [];
  const told: ShellEvent[] = [];
  const names: string[] = [];
  const events: InternalEvents = { emit: name => names.push(name), counters: () => ({}) };
  const desk = new WorkDesk({
    state,
    save: patch => {
      for (const [key, value] of Object.entries(patch)) {
        if (value === null) delete saved[key];
        else saved[key] = value;
      }
    },
    assign: work => assigned.push(work),
    tell: event => told.push(event),
    events,
  });
  return { desk, saved, assigned, told, names };
}

describe('the work desk', () => {
  it('hands an assignment on at once and its procedure when it comes', () => {
    const { desk, assigned, told } = bench();
    desk.take(ASSIGNMENT);
    expect(assigned).toEqual([expect.objectContaining({ id: 'as-1', joint: 'J-1', procedure: null })]);
    desk.takeProcedure(procedure(2));
    expect(assigned).toHaveLength(1);
    desk.takeProcedure(procedure(1));
    expect(assigned[1]?.procedure?.revision).toBe(1);
    expect(told.map(({ type }) => type)).toEqual(['assigned']);
  });

  it('takes a repetition for what it is', () => {
    const { desk, assigned, names } = bench();
    desk.take(ASSIGNMENT);
    desk.take(structuredClone(ASSIGNMENT));
    expect(assigned).toHaveLength(1);
    expect(names).toEqual(['assignmentTaken', 'assignmentHeld']);
  });

  it('clears', () => {
    const { desk, assigned } = bench();
    desk.take(ASSIGNMENT);
    desk.take({ ...ASSIGNMENT, id: 'as-2', work: null });
    expect(assigned.at(-1)).toBeNull();
  });

  it('goes on after a restart without hearing from anyone', () => {
    const first = bench();
    first.desk.takeProcedure(procedure(1));
    first.desk.take(ASSIGNMENT);
    const second = bench(first.saved);
    second.desk.resume();
    expect(second.assigned).toEqual([expect.objectContaining({ id: 'as-1', procedure: procedure(1) })]);
    expect(second.told).toEqual([]);
  });

  it('never lets a revision change', () => {
    const { desk, assigned, names, saved } = bench();
    desk.takeProcedure(procedure(1));
    desk.takeProcedure(procedure(1, 'wps-1', 'another text'));
    expect(names).toEqual(['procedureTaken', 'messageInvalid']);
    desk.take(ASSIGNMENT);
    expect(assigned[0]?.procedure?.title).toBe('an example');
    expect(saved['procedure/wps-1/1']).not.toContain('another text');
  });

  it('keeps a bounded number of procedures, and always the one in force', () => {
    const { desk, saved } = bench();
    desk.take(ASSIGNMENT);
    desk.takeProcedure(procedure(1));
    for (let i = 0; i < 300; i++) desk.takeProcedure(procedure(1, `other-${i}`));
    const kept = Object.keys(saved).filter(key => key.startsWith('procedure/'));
    expect(kept).toHaveLength(200);
    expect(kept).toContain('procedure/wps-1/1');
    expect(kept).toContain('procedure/other-299/1');
  });

  it('shrugs off state it cannot read', () => {
    const { desk, assigned } = bench({ assignment: '{', 'procedure/x/1': '{"schema":"older"}' });
    desk.resume();
    expect(assigned).toEqual([]);
  });
});
