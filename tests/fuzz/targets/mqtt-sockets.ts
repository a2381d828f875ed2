/** The embedded broker's socket: whole conversations of packets, spoilt. */
import { connect as open, type Socket } from 'node:net';
import { connectAsync } from 'mqtt';
import { EmbeddedBroker } from '../../../dashboard/server/broker/embedded-broker.ts';
import type { Dice } from '../dice.ts';
import { connect, DISCONNECT, PINGREQ, packet, publish, subscribe } from '../mqtt-packets.ts';
import { mutateBytes, NASTY_TEXT } from '../mutate.ts';
import type { FuzzTarget } from '../target.ts';

const LONGEST = 70_000;
const TOPICS = [
  'girthlog/1/spread-1/rig-a/live',
  'girthlog/1/spread-1/rig-a/record',
  'girthlog/1/#',
  '+/+',
  '$SYS/broker/uptime',
  'a/'.repeat(100),
  '__proto__',
];

const oddConnect = (dice: Dice): number[] =>
  connect(
    dice.pick(['', 'x'.repeat(80), '\u0000', '../']),
    dice.pick([0, 2, 4, 6, 0xc2, 0xff]),
    dice.pick(['MQTT', 'MQIsdp', 'HTTP', '']),
    dice.pick([0, 3, 4, 5, 255]),
  );

function conversation(dice: Dice): number[] {
  const topic = (): string => (dice.chance(0.3) ? dice.pick(NASTY_TEXT).slice(0, 300) : dice.pick(TOPICS));
  const parts: number[][] = dice.chance(0.7) ? [connect('a')] : dice.chance(0.7) ? [oddConnect(dice)] : [];
  for (let k = dice.below(6); k > 0; k--) {
    const payload = [...dice.bytes(dice.below(dice.chance(0.1) ? 2000 : 40))];
    parts.push(
      dice.pick([
        () => publish(topic(), payload, dice.below(4), dice.below(3)),
        () => subscribe(topic(), dice.below(4), dice.below(3)),
        () => connect('again'),
        () => PINGREQ,
        () => DISCONNECT,
        () => packet(dice.below(256), payload),
        () => [dice.below(256), 0xff, 0xff, 0xff, 0x7f, ...payload],
        () => [dice.below(256), 0xff, 0xff, 0xff, 0xff, 0xff],
      ])(),
    );
  }
  return parts.flat();
}

/** Turns of the event loop between the last byte and the end: the broker, in this process, reads and answers in them. */
const TURNS = 8;

/** Sends all, says that nothing more comes, and resolves with how much came back when the other side has closed. */
function talk(port: number, bytes: Uint8Array): Promise<number> {
  return new Promise(resolve => {
    let answered = 0;
    const socket: Socket = open({ host: '127.0.0.1', port }, () => {
      socket.write(bytes, () => endAfter(TURNS));
    });
    const endAfter = (turns: number): void => {
      if (turns === 0) socket.end();
      else setImmediate(() => endAfter(turns - 1));
    };
    socket.on('data', data => {
      answered += data.length;
    });
    socket.on('error', () => {});
    socket.on('close', () => resolve(answered));
  });
}

export const socketTarget: FuzzTarget = {
  name: 'MQTT packets, at the broker',
  cases: 'conversations',
  wholeRun: 20_000,
  open: async () => {
    let refusals = 0;
    const broker = new EmbeddedBroker(
      {
        ...{ kind: 'start', host: '127.0.0.1', port: 0, tries: 0, innerPort: 0, tls: null },
        ...{ maxConnections: 64, maxRigs: 8, access: { isOpen: true, credentials: [] } },
      },
      {
        refused: (_cause, _detail, count) => {
          refusals += count;
        },
        trespass: () => {},
      },
    );
    const { port } = await broker.start();
    return {
      tryOne: async dice => {
        const good = Uint8Array.from(conversation(dice));
        const bytes = dice.chance(0.5) ? mutateBytes(dice, good, LONGEST) : good;
        const answered = await talk(port, bytes);
        return answered === 0 ? 'closed without a word' : 'answered, then closed';
      },
      stillWorks: async () => {
        const client = await connectAsync(`mqtt://127.0.0.1:${port}`);
        const heard = new Promise<string>(resolve =>
          client.once('message', (_topic, payload) => resolve(String(payload))),
        );
        await client.subscribeAsync('girthlog/1/spread-1/rig-a/event', { qos: 1 });
        await client.publishAsync('girthlog/1/spread-1/rig-a/event', 'still here', { qos: 1 });
        if ((await heard) !== 'still here') throw new Error('a message came back as another');
        await client.endAsync();
        if (refusals === 0) throw new Error('nothing was refused');
      },
      close: () => broker.stop(),
    };
  },
};
