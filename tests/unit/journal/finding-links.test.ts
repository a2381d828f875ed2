/** Every link of a finding leads to a page that exists, with the joint, rig, pass or person it is about. */
import { describe, expect, it } from 'vitest';
import { foldJoint } from '#core/journal/joint-fold';
import { jointState } from '#core/journal/joint-state';
import { proposeWork } from '#core/journal/proposal';
import { rigReadiness } from '#core/journal/readiness';
import { workFindings } from '#core/journal/work-findings';
import { parseRoute } from '../../../dashboard/web/routes.ts';
import { jointFacts, passOf, TestJournal, WPS } from '../../support/journal.ts';

const JOINT = 'J/12 ä?&#';
const passes = [
  passOf('s:1', 'fill', 'A', 10, { joint: JOINT }),
  passOf('s:2', 'fill', 'A', 30, { joint: JOINT }),
  passOf('s:3', 'root', 'A', 50, { joint: JOINT }),
  passOf('s:4', 'hot', 'B', 60, { joint: JOINT }),
];

function everything() {
  const journal = new TestJournal();
  journal.add({ kind: 'hold', joint: JOINT, on: true }, { reason: 'ruling' });
  journal.add({ kind: 'crew', joint: JOINT, weldSetter: null, operatorA: 'p 2/ü', operatorB: null });
  journal.add({ kind: 'jointChanged', joint: JOINT, outsideDiameterMm: 1067 });
  const facts = jointFacts({
    joint: JOINT,
    entries: journal.entries,
    passes,
    procedure: WPS,
    procedureState: 'draft',
  });
  const bare = jointFacts({ joint: JOINT, procedure: null });
  const rig = { site: 'spread-1', rig: 'rig-a' };
  const readiness = rigReadiness({
    ...rig,
    now: '2026-05-12T12:00:00.000Z',
    entries: [],
    channels: null,
    clockOffsetMs: null,
    passesWithoutJoint: ['x'],
  });
  return [
    ...jointState(facts).findings,
    ...workFindings(facts, foldJoint(facts), { pass: 'cap', side: 'B' }),
    ...workFindings(facts, foldJoint(facts), { pass: 'cap', side: 'A' }),
    ...workFindings(bare, foldJoint(bare), { pass: 'root', side: 'A' }),
    ...readiness.findings,
    ...proposeWork({ ...rig, history: [], joints: [] }).findings,
  ];
}

describe('links of findings', () => {
  const found = everything();

  it('are many here', () => {
    expect(new Set(found.map(({ code }) => code)).size).toBeGreaterThan(15);
  });

  it.each(found.flatMap(({ code, link }) => (link === null ? [] : [[code, link] as const])))(
    '%s: %s',
    (_code, link) => {
      const route = parseRoute(`#${link}`);
      expect(route.view).not.toBe('live');
      if ('joint' in route) expect(route.joint).toBe(JOINT);
    },
  );
});
