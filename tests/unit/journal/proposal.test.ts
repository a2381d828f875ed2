/** What is proposed next. On a moving line a rig does one or two passes of every joint: common practice, no source. */
import { describe, expect, it } from 'vitest';
import { proposeWork, type RigWork } from '#core/journal/proposal';
import { proposalSchema } from '#core/messages/api-journal';
import type { PassMessage } from '#core/messages/pass';
import { type FactParts, jointFacts, passOf, TestJournal, WPS } from '../../support/journal.ts';

function joint(
  name: string,
  passes: readonly (readonly [string, 'A' | 'B', PassMessage['state']?])[],
  parts: FactParts = {},
) {
  return jointFacts({
    joint: name,
    procedure: WPS,
    passes: passes.map(([pass, side, state = 'closed'], i) =>
      passOf(`${name}-${pass}-${side}`, pass, side, 10 + i, { joint: name, state }),
    ),
    ...parts,
  });
}
const work = (name: string, pass: string, side: 'A' | 'B' = 'A'): RigWork => ({ joint: name, pass, side });
const propose = (history: readonly RigWork[], joints: readonly ReturnType<typeof joint>[]) =>
  proposalSchema.parse(proposeWork({ site: 'spread-1', rig: 'rig-a', history, joints }));
const briefly = (proposal: ReturnType<typeof propose>) => [proposal.joint, proposal.side, proposal.pass];

describe('the next pass', () => {
  it('is what is assigned and not welded yet', () => {
    const proposal = propose([work('J-2', 'root')], [joint('J-2', [])]);
    expect(briefly(proposal)).toEqual(['J-2', 'A', 'root']);
    expect(proposal.why).toBe('It is assigned and not welded yet.');
  });

  it('is what is being welded now', () => {
    const proposal = propose([work('J-2', 'root')], [joint('J-2', [['root', 'A', 'open']])]);
    expect(proposal.why).toBe('It is being welded now.');
  });

  it('of a rig that has worked on one joint only: the WPS goes on', () => {
    const proposal = propose([work('J-1', 'root')], [joint('J-1', [['root', 'A']])]);
    expect(briefly(proposal)).toEqual(['J-1', 'A', 'fill']);
    expect(proposal.why).toBe('root is done; the WPS has fill next on this side.');
  });

  it('of a rig that welds fills down the line: the next joint that waits for a fill, oldest first', () => {
    const history = [work('J-2', 'fill'), work('J-1', 'fill')];
    const joints = [
      joint('J-1', [
        ['root', 'A'],
        ['fill', 'A'],
      ]),
      joint('J-2', [
        ['root', 'A'],
        ['fill', 'A'],
      ]),
      joint('J-3', [['root', 'A']]),
      joint('J-4', [['root', 'A']]),
    ];
    expect(briefly(propose(history, joints))).toEqual(['J-3', 'A', 'fill']);
  });

  it('stays on the joint where this rig also welds the pass that is next', () => {
    const history = [work('J-2', 'fill'), work('J-1', 'cap'), work('J-1', 'fill')];
    const joints = [
      joint('J-1', [
        ['root', 'A'],
        ['fill', 'A'],
        ['cap', 'A'],
      ]),
      joint('J-2', [
        ['root', 'A'],
        ['fill', 'A'],
      ]),
      joint('J-3', [['root', 'A']]),
    ];
    expect(briefly(propose(history, joints))).toEqual(['J-2', 'A', 'cap']);
  });

  it('leaves out a joint on hold and a pass that another rig is welding', () => {
    const held = new TestJournal();
    held.add({ kind: 'hold', joint: 'J-3', on: true }, { reason: 'waiting for a ruling' });
    const history = [work('J-2', 'fill'), work('J-1', 'fill')];
    const joints = [
      joint('J-1', [
        ['root', 'A'],
        ['fill', 'A'],
        ['cap', 'A'],
      ]),
      joint('J-2', [
        ['root', 'A'],
        ['fill', 'A'],
        ['cap', 'A'],
      ]),
      joint('J-3', [['root', 'A']], { entries: held.entries }),
      joint('J-4', [
        ['root', 'A'],
        ['fill', 'A', 'open'],
      ]),
      joint('J-5', [['root', 'A']]),
    ];
    expect(briefly(propose(history, joints))).toEqual(['J-5', 'A', 'fill']);
  });

  it('keeps to the side of the rig', () => {
    const history = [work('J-2', 'fill', 'B'), work('J-1', 'fill', 'B')];
    const joints = [
      joint('J-1', [
        ['root', 'B'],
        ['fill', 'B'],
        ['cap', 'B'],
      ]),
      joint('J-2', [
        ['root', 'B'],
        ['fill', 'B'],
        ['cap', 'B'],
      ]),
      joint('J-3', [['root', 'A']]),
      joint('J-4', [['root', 'B']]),
    ];
    expect(briefly(propose(history, joints))).toEqual(['J-4', 'B', 'fill']);
  });

  it('is nothing where nothing waits, and says what to do', () => {
    const proposal = propose(
      [work('J-1', 'cap')],
      [
        joint('J-1', [
          ['root', 'A'],
          ['fill', 'A'],
          ['cap', 'A'],
        ]),
      ],
    );
    expect(briefly(proposal)).toEqual([null, null, null]);
    expect(proposal.findings).toMatchObject([{ code: 'noProposal', link: '/rigs/spread-1/rig-a/assign' }]);
  });

  it('of a rig that has done nothing: the oldest joint, the side that no other rig has', () => {
    const taken = {
      joint: 'J-1',
      side: 'A' as const,
      pass: 'root',
      procedureId: WPS.id,
      procedureRevision: 1,
      outsideDiameterMm: 610,
    };
    const proposal = propose([], [joint('J-1', [], { assigned: [taken] })]);
    expect(briefly(proposal)).toEqual(['J-1', 'B', 'root']);
    expect([proposal.procedureId, proposal.procedureRevision]).toEqual(['wps-7', 1]);
    expect(briefly(propose([], []))).toEqual([null, null, null]);
  });

  it('comes with what to know before confirming', () => {
    const proposal = propose([work('J-1', 'root')], [joint('J-1', [['root', 'A']])]);
    expect(proposal.findings.map(({ code }) => code)).toContain('layerNotReleased');
  });
});
