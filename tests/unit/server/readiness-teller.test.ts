import { describe, expect, it } from 'vitest';
import type { RigReadiness } from '#core/messages/api-journal';
import { type Announcement, Announcements } from '../../../dashboard/server/live/announcements.ts';
import { ReadinessTeller } from '../../../dashboard/server/live/readiness-teller.ts';
import type { StreamHub } from '../../../dashboard/server/live/stream-hub.ts';

const RIGS = ['rig-a', 'rig-b'].map(rig => ({ site: 'spread-1', rig }));

function teller() {
  const sent: Announcement[] = [];
  const state = { readers: 1, ready: new Set<string>(), asked: 0 };
  const one = new ReadinessTeller({
    readiness: rigs => {
      state.asked++;
      return rigs.map(({ site, rig }): RigReadiness => {
        return {
          site,
          rig,
          ready: state.ready.has(rig),
          checks: [],
          corrections: [],
          carriageId: null,
          findings: [],
        };
      });
    },
    rigs: () => RIGS,
    announcements: new Announcements('run1'),
    hub: {
      get readerCount() {
        return state.readers;
      },
      announce: (told: Announcement) => sent.push(told),
    } as unknown as StreamHub,
  });
  const told = () => sent.splice(0).map(({ data }) => (JSON.parse(data) as RigReadiness).rig);
  return { one, state, told };
}

describe('readiness told', () => {
  it('only where it changed', () => {
    const { one, state, told } = teller();
    one.sweep();
    expect(told()).toEqual(['rig-a', 'rig-b']);
    one.sweep();
    expect(told()).toEqual([]);
    state.ready.add('rig-b');
    one.sweep();
    expect(told()).toEqual(['rig-b']);
    one.tell(RIGS[0]!);
    expect(told()).toEqual([]);
    state.ready.delete('rig-b');
    one.tell(RIGS[1]!);
    expect(told()).toEqual(['rig-b']);
  });

  it('to nobody while nobody looks, and all of it again after that', () => {
    const { one, state, told } = teller();
    one.sweep();
    told();
    state.readers = 0;
    one.sweep();
    expect(state.asked).toBe(1);
    state.readers = 1;
    one.sweep();
    expect(told()).toEqual(['rig-a', 'rig-b']);
  });
});
