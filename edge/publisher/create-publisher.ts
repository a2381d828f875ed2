/** The publisher of an edge, connected to what it tells and what it hears for. */
import type { Capture } from '../capture/capture.ts';
import type { OffsetMeter } from '../clock/offset-meter.ts';
import type { RecordClock } from '../clock/record-clock.ts';
import type { EdgeConfig } from '../config/edge-config.ts';
import type { InternalEvents } from '../internal-events.ts';
import type { Outbox } from '../outbox/outbox-client.ts';
import type { OpenedStore } from '../outbox/outbox-types.ts';
import { AckTeller } from './ack-teller.ts';
import { Publisher } from './publisher.ts';

export interface PublisherParts {
  readonly config: EdgeConfig;
  readonly store: OpenedStore;
  readonly outbox: Outbox;
  readonly clock: RecordClock;
  readonly meter: OffsetMeter;
  /** Made after the publisher it speaks through. */
  readonly capture: () => Capture;
  readonly events: InternalEvents;
  readonly monotonicMs: () => number;
  readonly onConnection: () => void;
  readonly onFailed: (error: unknown) => void;
}

export function createPublisher(parts: PublisherParts): Publisher {
  const { config, store, outbox, clock, meter, capture, events, monotonicMs } = parts;
  const acks = new AckTeller(event => capture().tell(event), monotonicMs);
  return new Publisher({
    address: config.address,
    origin: config.origin,
    broker: config.broker,
    outbox,
    stream: store.stream,
    committedSeq: store.committedSeq,
    cursors: Object.fromEntries(Object.entries(store.cursors).map(([name, { upto }]) => [name, upto])),
    events,
    monotonicMs,
    recordNowUs: () => clock.nowUs(),
    utcNow: () => clock.utcOf(clock.nowUs()),
    random: Math.random,
    handlers: {
      onAssignment: assignment => capture().assignment(assignment),
      onProcedure: ({ procedure }) => capture().procedure(procedure),
      onWatch: watch => capture().watch(watch),
      onTime: answer => void meter.answer(answer),
    },
    onAckRefused: (name, verdict) => acks.refused(name, verdict),
    onRewound: rewind => acks.rewound(rewind),
    onConnection: parts.onConnection,
    onStoreFailed: parts.onFailed,
  });
}
