/** What arrives over MQTT, on both ends: messages of every kind, spoilt; and the store behind them. */
import Sqlite from 'better-sqlite3';
import { z } from 'zod';
import { topicOf } from '#core/topics/topics';
import { decodeMessage } from '../../../dashboard/server/ingest/decode.ts';
import { DASHBOARD_SCHEMAS, EDGE_SCHEMAS } from '../../../dashboard/server/ingest/topic-schemas.ts';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import type { InternalEventName } from '../../../edge/internal-events.ts';
import { receive } from '../../../edge/publisher/inbox.ts';
import { seal, sha256, testBody, testChain, testEvent, testPass } from '../../support/test-records.ts';
import type { Dice } from '../dice.ts';
import { type JsonSchema, SchemaValues } from '../from-schema.ts';
import { mutateJson, mutateText, NASTY_TEXT, nestedText } from '../mutate.ts';
import type { FuzzTarget } from '../target.ts';

const ADDRESS = { site: 'spread-1', rig: 'rig-a' };
const utf8 = new TextEncoder();

type Schemas = Readonly<Record<string, JsonSchema>>;

const schemasOf = (table: Readonly<Record<string, z.ZodType>>): Schemas =>
  Object.fromEntries(
    Object.entries(table).map(([kind, schema]) => [
      kind,
      z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }) as JsonSchema,
    ]),
  );

/** A message of a kind as bytes: as its schema says, then most often spoilt. */
function payloadOf(dice: Dice, schema: JsonSchema): Uint8Array {
  const good = new SchemaValues(dice, schema).of(schema);
  switch (dice.below(8)) {
    case 0:
      return utf8.encode(JSON.stringify(good));
    case 1:
      return mutateText(dice, JSON.stringify(good), 70_000);
    case 2:
      return dice.bytes(dice.below(200));
    case 3:
      return utf8.encode(nestedText(dice.pick([100, 10_000, 30_000])));
    case 4:
      return utf8.encode(`{"__proto__":{"polluted":true},"a":1,"a":2,${JSON.stringify(good).slice(1)}`);
    default:
      return utf8.encode(JSON.stringify(mutateJson(dice, good)) ?? '');
  }
}

function requireUnpolluted(): void {
  if ('polluted' in {}) throw new Error('a payload changed the prototype of every object');
}

const toDashboard: FuzzTarget = {
  name: 'MQTT payloads, at the dashboard',
  cases: 'messages',
  wholeRun: 200_000,
  open: async () => {
    const schemas = schemasOf(EDGE_SCHEMAS);
    return {
      tryOne: dice => {
        const kind = dice.pick(Object.keys(schemas));
        const topic = dice.chance(0.05)
          ? dice.pick([...NASTY_TEXT, `girthlog/1/${dice.pick(NASTY_TEXT)}/rig-a/${kind}`])
          : topicOf(ADDRESS, kind as 'live');
        const decoded = decodeMessage(topic, payloadOf(dice, schemas[kind]!));
        requireUnpolluted();
        if (!decoded.ok) {
          if (decoded.detail.length > 300)
            throw new Error(`${decoded.detail.length} letters go into the log`);
          return `refused: ${decoded.event}`;
        }
        if (decoded.edge?.kind !== 'record') return 'taken';
        const verified = verifyRecord(decoded.address, decoded.edge.message);
        return verified.ok ? 'record taken' : `record refused: ${verified.event}`;
      },
      stillWorks: () => {
        const [record] = testChain(1);
        const decoded = decodeMessage(topicOf(ADDRESS, 'record'), utf8.encode(JSON.stringify(record)));
        if (!decoded.ok || !verifyRecord(ADDRESS, record!).ok) throw new Error('a good record is refused');
      },
      close: () => {},
    };
  },
};

const toEdge: FuzzTarget = {
  name: 'MQTT payloads, at the edge',
  cases: 'messages',
  wholeRun: 200_000,
  open: async () => {
    const schemas = schemasOf(DASHBOARD_SCHEMAS);
    let refused = 0;
    let taken = 0;
    const events = {
      emit: (name: InternalEventName) => {
        if (name === 'messageInvalid' || name === 'messageForeign') refused++;
      },
      counters: () => ({}),
    };
    const take = (): void => {
      taken++;
    };
    const handlers = { onAck: take, onAssignment: take, onProcedure: take, onTime: take, onWatch: take };
    const offer = (topic: string, payload: Uint8Array): string => {
      [refused, taken] = [0, 0];
      receive(topic, payload, ADDRESS, handlers, events);
      if (refused + taken !== 1) throw new Error(`one message was counted ${refused + taken} times`);
      return taken === 1 ? 'taken' : 'refused';
    };
    return {
      tryOne: dice => {
        const kind = dice.pick(Object.keys(schemas));
        const items = { ack: ['truck', 'x'], procedure: ['example-610'], time: ['truck'] } as Record<
          string,
          string[]
        >;
        const item = items[kind] && dice.pick(items[kind]);
        const topic = dice.chance(0.1)
          ? dice.pick([...NASTY_TEXT, `girthlog/1/spread-1/rig-b/${kind}`])
          : `girthlog/1/spread-1/rig-a/${kind}${item ? `/${item}` : ''}`;
        const outcome = offer(topic, payloadOf(dice, schemas[kind]!));
        requireUnpolluted();
        return outcome;
      },
      stillWorks: () => {
        const ack = { store: 'truck', stream: '0'.repeat(32), upto: 1, head: '0'.repeat(64) };
        const good = { ...ack, origin: 'real' };
        if (offer('girthlog/1/spread-1/rig-a/ack/truck', utf8.encode(JSON.stringify(good))) !== 'taken') {
          throw new Error('a good ack is refused');
        }
      },
      close: () => {},
    };
  },
};

/** Records whose hash holds, whatever their body says: what a rig with a broken or hostile program could send. */
const records: FuzzTarget = {
  name: 'records with a right hash, into the store',
  cases: 'records',
  wholeRun: 20_000,
  open: async scratch => {
    const store = new SqliteStore({
      directory: scratch,
      sqlite: Sqlite,
      report: () => {},
      now: () => new Date(),
    });
    store.open();
    const good = testBody({ events: [testEvent(1)], passes: [testPass(1)] });
    let kept = 0;
    const offer = (text: string, stream: string, seq: number): string => {
      const verified = verifyRecord(ADDRESS, seal(text, seq, undefined, stream));
      if (!verified.ok) return `refused: ${verified.event}`;
      const { outcomes } = store.commitRecords([verified.record], new Date().toISOString());
      if (outcomes[0] === 'stored') kept++;
      return `${outcomes[0]}${verified.record.unreadable === null ? '' : ', unreadable'}`;
    };
    return {
      tryOne: dice => {
        const bad = dice.chance(0.2)
          ? new TextDecoder().decode(mutateText(dice, JSON.stringify(good), 60_000))
          : JSON.stringify(mutateJson(dice, good));
        const stream = sha256(String(dice.below(20))).slice(0, 32);
        const outcome = offer(bad ?? '', stream, 1 + dice.below(2000));
        requireUnpolluted();
        return outcome;
      },
      stillWorks: () => {
        if (offer(JSON.stringify(good), 'f'.repeat(32), 1) !== 'stored')
          throw new Error('a good record is refused');
        const { records: count } = store.size();
        if (count !== kept) throw new Error(`${kept} records were stored and ${count} are there`);
        store.check();
      },
      close: () => store.close(),
    };
  },
};

export const payloadTargets: readonly FuzzTarget[] = [toDashboard, toEdge, records];
