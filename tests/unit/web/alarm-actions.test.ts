import { expect, it } from 'vitest';
import type { AlarmPicture } from '#core/messages/api-alarm';
import { AlarmActions } from '../../../dashboard/web/data/alarm-actions.ts';
import { AlarmStore } from '../../../dashboard/web/data/alarm-store.ts';
import { ApiClient } from '../../../dashboard/web/data/api-client.ts';

const PICTURE: Partial<AlarmPicture> = { alarms: [], folds: [], away: [] };

function bench() {
  const sent: unknown[] = [];
  const fetch = (async (_path: string, init: RequestInit = {}) => {
    sent.push(JSON.parse(String(init.body)));
    return new Response(JSON.stringify(PICTURE), { status: 200 });
  }) as typeof globalThis.fetch;
  const storage = { getItem: () => null, setItem: () => undefined };
  return { sent, actions: new AlarmActions(new ApiClient(fetch), new AlarmStore(), storage) };
}

it('asks who acts by a sign-in, and then does what was asked', async () => {
  const { sent, actions } = bench();
  actions.signIn = async () => {
    actions.signedIn({ id: 'p-1', name: 'A. Setter' });
    return true;
  };
  expect(await actions.acknowledge([7])).toBe(true);
  expect(sent).toEqual([{ alarms: [7], author: 'p-1' }]);
  expect(actions.asksWho.value).toBe(false);
});

it('does nothing where nobody signs in, and says that a name is missing', async () => {
  const { sent, actions } = bench();
  expect(await actions.acknowledge([7])).toBe(false);
  expect(sent).toEqual([]);
  expect(actions.asksWho.value).toBe(true);
});
