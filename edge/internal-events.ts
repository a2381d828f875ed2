/**
 * Every named internal event of the edge: one log line and one counter, in one place.
 * Counters travel in `health`. Of one name five lines are written at once and then one a second; the count is exact.
 */
import { type DestinationStream, type Logger, pino } from 'pino';

const EVENTS = {
  started: ['info', 'edge started'],
  stopping: ['info', 'edge is stopping'],
  brokerConnected: ['info', 'connected to the broker'],
  brokerLost: ['warn', 'connection to the broker lost'],
  brokerRefused: ['warn', 'the broker did not take the connection'],
  brokerPlaintext: ['warn', 'the broker is not on this machine and the connection is not encrypted'],
  brokerSilent: ['warn', 'the broker takes messages but confirms none: connecting anew'],
  publishFailed: ['warn', 'a message could not be published'],
  messageInvalid: ['warn', 'a message from the broker is not valid: ignored'],
  messageForeign: ['warn', 'a message came on a topic that is not this rig’s: ignored'],
  ackAccepted: ['debug', 'a store has committed batches'],
  ackRepeated: ['debug', 'an acknowledgement says what is known already'],
  ackUnlisted: ['warn', 'an acknowledgement from a store that is not required here: ignored'],
  ackStale: ['warn', 'an acknowledgement reaches less far than an earlier one: ignored'],
  ackRewound: ['warn', 'a store has lost what it had acknowledged: sending again'],
  ackFuture: ['warn', 'an acknowledgement reaches further than this store: ignored'],
  ackWrongStream: ['info', 'an acknowledgement is for another stream: ignored'],
  ackWrongHead: ['error', 'an acknowledgement carries a hash that is not this stream’s: ignored'],
  recordsSent: ['debug', 'batches sent'],
  recordsResent: ['info', 'no store has committed for a while: sending again from its last commit'],
  liveDropped: ['debug', 'a live summary gave way to a newer one'],
  announcementDropped: ['debug', 'an event or pass was not announced live: it is in the record'],
  batchCommitted: ['debug', 'batches committed'],
  batchSplit: ['debug', 'a batch was split to stay under the size limit'],
  listCut: ['error', 'a pass was too large for one batch: its list of deviations was cut and says so'],
  storeRetry: ['error', 'the store has no room: trying again'],
  storeFailed: ['fatal', 'the store failed'],
  storeQuarantined: ['error', 'the store was damaged: moved aside, a new stream begins'],
  storeModeFixed: ['warn', 'the store could be read by other users: access was taken away'],
  samplesPruned: ['info', 'old samples made room: every required store has them'],
  samplesThinned: ['error', 'the store is full: samples that wait were thinned to a second'],
  storageLevel: ['warn', 'room in the store has changed its level'],
  sealed: ['debug', 'a pass, the stream or a key was sealed'],
  passNotSealed: ['error', 'a pass holds a text that cannot be signed: it stays without a seal'],
  sealKeyMade: ['info', 'a key to sign seals was made: note its fingerprint'],
  sealKeyUnreadable: ['error', 'the key file holds no readable key: moved aside, a new key was made'],
  sealKeyModeFixed: ['warn', 'the key could be read by other users: access was taken away'],
  sealKeyReplaced: [
    'error',
    'the key file holds another key than the one in force: stores will not trust it',
  ],
  blackBoxLeftOut: ['warn', 'raw bytes were not kept: the disk was too slow'],
  blackBoxFailed: ['warn', 'the black box cannot be written: trying again in a minute'],
  recordingGap: ['error', 'samples were not recorded: the store could not keep up'],
  clockStep: ['warn', 'the wall clock was stepped'],
  sourceState: ['info', 'the source changed state'],
  deviceRestarted: ['warn', 'the device has started anew'],
  deviceAhead: ['warn', 'the time of the device runs faster than the clock of this machine'],
  framesLost: ['warn', 'frames of the device did not arrive'],
  originDiffers: ['warn', 'the device says its data is not simulated, the configuration says it is'],
  assignmentTaken: ['info', 'assignment received'],
  assignmentHeld: ['debug', 'assignment is the one already known'],
  procedureTaken: ['info', 'procedure received'],
  watchTaken: ['info', 'how changes along the weld are called was set anew'],
  passResumed: ['warn', 'the edge started again during a pass: it goes on from its record'],
  passOrphaned: ['warn', 'a pass was open when the edge last stopped: closed with a reason'],
  unhandled: ['fatal', 'an error nobody expected'],
} as const satisfies Record<string, readonly [pino.Level, string]>;

export type InternalEventName = keyof typeof EVENTS;

export interface InternalEvents {
  /** Counts `by` (1) occurrences and writes the line. */
  emit(name: InternalEventName, fields?: Record<string, unknown>, by?: number): void;
  counters(): Record<string, number>;
}

export interface InternalEventsOptions {
  readonly level: string;
  /** Monotonic milliseconds, for the line limit only. */
  readonly monotonicMs: () => number;
  /** Default: stderr. */
  readonly destination?: DestinationStream;
}

const LINES_AT_ONCE = 5;
const LINE_EVERY_MS = 1000;

/** Lines that one name may still write, and how many it could not. */
interface Allowance {
  lines: number;
  atMs: number;
  unwritten: number;
}

export function createInternalEvents(options: InternalEventsOptions): InternalEvents {
  const logger: Logger = pino(
    { level: options.level, base: { program: 'girthlog-edge' }, timestamp: pino.stdTimeFunctions.isoTime },
    options.destination ?? pino.destination({ fd: 2, sync: true }),
  );
  const counts = new Map<InternalEventName, number>();
  const allowances = new Map<InternalEventName, Allowance>();

  /** Null when the line has to be left out, else how many were left out before it. */
  function allow(name: InternalEventName): number | null {
    const now = options.monotonicMs();
    const known = allowances.get(name) ?? { lines: LINES_AT_ONCE, atMs: now, unwritten: 0 };
    allowances.set(name, known);
    known.lines = Math.min(LINES_AT_ONCE, known.lines + (now - known.atMs) / LINE_EVERY_MS);
    known.atMs = now;
    if (known.lines < 1) {
      known.unwritten += 1;
      return null;
    }
    known.lines -= 1;
    const { unwritten } = known;
    known.unwritten = 0;
    return unwritten;
  }

  return {
    emit(name, fields = {}, by = 1) {
      counts.set(name, (counts.get(name) ?? 0) + by);
      const [level, text] = EVENTS[name];
      if (!logger.isLevelEnabled(level)) return;
      const unwritten = allow(name);
      if (unwritten === null && level !== 'fatal') return;
      logger[level]({ event: name, ...fields, ...(unwritten ? { alsoUnwritten: unwritten } : {}) }, text);
    },
    counters: () => Object.fromEntries(counts),
  };
}
