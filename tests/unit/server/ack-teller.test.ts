import { expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { AckTeller } from '../../../dashboard/server/fleet/ack-teller.ts';
import type { StreamState } from '../../../dashboard/server/store/store.ts';
import { OTHER_STREAM, STREAM } from '../../support/test-records.ts';

const at = (upto: number, stream = STREAM): StreamState => ({
  ...{ site: 'spread-1', rig: 'rig-a', stream, origin: 'simulated', first: 1, upto, head: CHAIN_START },
  ...{ lowest: 1, highest: upto, waiting: 0, conflicts: 0, chainBroken: false },
});

function setUp() {
  const sent: string[] = [];
  const confirm: (() => void)[] = [];
  const line = { isUp: true };
  const teller = new AckTeller({
    publish: ({ stream, upto }, done) => {
      if (!line.isUp) return false;
      sent.push(`${stream === STREAM ? 'a' : 'b'}${upto}`);
      confirm.push(done);
      return true;
    },
  });
  return { teller, sent, confirm, line };
}

it('has one acknowledgement of a stream on its way, and sends the newest behind it', () => {
  const { teller, sent, confirm } = setUp();
  for (const upto of [1, 2, 3]) teller.tell(at(upto));
  teller.tell(at(7, OTHER_STREAM));
  expect(sent).toEqual(['a1', 'b7']);
  confirm[0]!();
  expect(sent).toEqual(['a1', 'b7', 'a3']);
  confirm[2]!();
  confirm[1]!();
  expect(sent).toHaveLength(3);
});

it('keeps the newest while there is no line, and says it on the next', () => {
  const { teller, sent, line } = setUp();
  line.isUp = false;
  teller.tell(at(1));
  teller.tell(at(2));
  line.isUp = true;
  teller.connected();
  expect(sent).toEqual(['a2']);
});

it('does not wait on a new line for what an old one was to confirm, nor take its word', () => {
  const { teller, sent, confirm } = setUp();
  teller.tell(at(1));
  teller.connected();
  teller.tell(at(2));
  teller.tell(at(3));
  confirm[0]!();
  expect(sent).toEqual(['a1', 'a2']);
  confirm[1]!();
  expect(sent).toEqual(['a1', 'a2', 'a3']);
});
