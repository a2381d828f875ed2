/**
 * Every named internal event of the dashboard: one log line and one counter, in one place.
 * Of one name at most one line a second is written, so that a flood of bad input cannot flood the log.
 */
import { type Level, type Logger, pino } from 'pino';

const EVENTS = {
  started: ['info', 'dashboard is ready'],
  workerStarted: ['info', 'ingest worker is ready'],
  stopping: ['info', 'program is stopping'],
  brokerStarted: ['info', 'embedded broker is listening'],
  brokerExited: ['error', 'embedded broker ended by itself: starting it again'],
  brokerRefused: ['warn', 'embedded broker refused a connection or a packet'],
  machineEnrolled: ['info', 'a machine was enrolled'],
  machineRevoked: ['warn', 'a machine was revoked'],
  machineRefused: ['warn', 'a connection without valid credentials was refused'],
  machinesUnreadable: ['error', 'the list of machines cannot be read: nobody new is let in'],
  enrolmentRefused: ['warn', 'a machine was not enrolled'],
  certificateRenewed: ['info', 'the truck has a new certificate'],
  certificateFailed: ['error', 'the certificate of the truck could not be renewed: trying again in an hour'],
  machineTrespassed: ['error', 'a machine tried what only another may: refused'],
  brokerConnected: ['info', 'connected to the broker'],
  brokerLost: ['warn', 'connection to the broker lost: trying again'],
  brokerError: ['warn', 'broker connection failed'],
  topicForeign: ['warn', 'message on a topic that is not ours'],
  payloadTooLarge: ['warn', 'message larger than 64 KiB refused'],
  payloadNotText: ['warn', 'message is not UTF-8 text'],
  payloadNotJson: ['warn', 'message is not JSON'],
  payloadInvalid: ['warn', 'message does not fit the schema of its topic'],
  rigRefused: ['warn', 'more rigs than the configured limit'],
  recordHashMismatch: ['error', 'record does not carry the hash of its content'],
  recordOtherRig: ['error', 'record of another rig on this rig’s topic'],
  recordOriginMismatch: ['error', 'record names two origins'],
  recordBodyUnreadable: ['error', 'record is kept, but its content cannot be read'],
  recordsLost: ['error', 'store lacks records it had acknowledged: the edge is asked to send them again'],
  recordReduced: [
    'warn',
    'record whose samples gave way on a full edge: stored as it is, pruned and reported',
  ],
  recordStored: ['debug', 'records stored'],
  recordDuplicate: ['debug', 'record was stored already'],
  identityConflict: ['error', 'two different records carry one stream and sequence number: both are kept'],
  chainBroken: ['error', 'record does not follow the one before it: stored, not acknowledged'],
  streamStartsLate: ['warn', 'stream is taken up after its beginning: earlier records are not in this store'],
  sealVerified: ['debug', 'a seal holds'],
  sealFailed: ['error', 'a seal does not hold: kept, and shown as failed'],
  passUnsealed: ['error', 'a closed pass came without its seal'],
  sealKeyPinned: ['info', 'the key of a rig was seen first: from now on it is the one'],
  sealKeyRotated: ['info', 'a rig’s key announced the next one'],
  sealKeyRefused: [
    'error',
    'a seal came with a key that is not the rig’s and was not announced: not trusted',
  ],
  sealKeyAccepted: ['warn', 'a person trusts a rig’s key that nothing had announced'],
  passForeign: ['error', 'pass of another rig or stream inside a record'],
  chunkUnreadable: ['error', 'samples of a record cannot be decoded: the record is kept as it came'],
  intakeFull: ['warn', 'more records than can wait: left for the edge to send again'],
  storeFailed: ['error', 'store did not take a batch: trying again'],
  storeQuarantined: ['error', 'store was damaged: moved aside, a new one begun'],
  alarmNotStored: ['error', 'change of an alarm could not be stored: it is shown all the same'],
  storeMigrated: ['info', 'store brought to the present layout'],
  settlingFailed: ['warn', 'samples were not put together: they stay as they came, trying again'],
  storePaused: ['error', 'store takes nothing for now: nothing is acknowledged, the edges keep it'],
  storeResumed: ['info', 'store takes records again'],
  backupMade: ['info', 'backup made'],
  backupFailed: ['error', 'backup was not made: trying again in a quarter of an hour'],
  exportMade: ['info', 'export made'],
  exportFailed: ['warn', 'export was not made'],
  storeLogLarge: ['warn', 'log beside the store is larger than 32 MB: a reader holds it'],
  journalSignedAsFound: ['info', 'journal was not signed yet: signed as it was found'],
  journalUnsigned: ['error', 'journal holds entries without a signature: run verify'],
  programAdmitted: ['info', 'a program may enter things with its token'],
  originRefused: ['error', 'real data at a dashboard of training: refused'],
  trainingStoreQuarantined: ['error', 'store of training sessions was damaged: moved aside, a new one begun'],
  trainingFailed: ['error', 'a training session could not be followed'],
  publishFailed: ['warn', 'message to an edge could not be published'],
  streamClientThinned: ['debug', 'slow reader of the live stream is given live values less often'],
  streamClientDropped: ['warn', 'reader of the live stream too slow: closed, it may resume'],
  streamClientRefused: ['warn', 'too many readers of the live stream'],
  influxProjected: ['debug', 'records projected to InfluxDB'],
  influxUnreachable: ['warn', 'InfluxDB does not take the projection: trying again, the store goes on'],
  influxPointRejected: ['error', 'InfluxDB refused a point: kept in rejected_points'],
  recordsFollowed: ['debug', 'records taken over from the followed database'],
  followFailed: ['warn', 'the followed database gives no records: trying again, what is here stays'],
  requestRefused: ['warn', 'request refused'],
  connectionRefused: ['warn', 'too many connections from one address: refused'],
  requestFailed: ['error', 'request failed'],
  unhandled: ['fatal', 'an error nobody expected: ending'],
} as const satisfies Record<string, readonly [Level, string]>;

export type InternalEvent = keyof typeof EVENTS;
export const INTERNAL_EVENT_NAMES = Object.keys(EVENTS) as readonly InternalEvent[];
export type ReportEvent = (name: InternalEvent, fields?: Record<string, unknown>, by?: number) => void;

const LINE_EVERY_MS = 1000;

export class InternalEvents {
  private readonly log: Logger;
  private readonly monotonicMs: () => number;
  private readonly counts = new Map<InternalEvent, number>();
  /** Told of every event, beside the log. */
  onEvent: (name: InternalEvent, fields: Record<string, unknown>) => void = () => {};
  private readonly lines = new Map<InternalEvent, { atMs: number; suppressed: number }>();

  constructor(log: Logger, monotonicMs: () => number) {
    this.log = log;
    this.monotonicMs = monotonicMs;
  }

  readonly report: ReportEvent = (name, fields = {}, by = 1) => {
    this.counts.set(name, (this.counts.get(name) ?? 0) + by);
    this.onEvent(name, fields);
    const [level, text] = EVENTS[name];
    if (!this.log.isLevelEnabled(level)) return;
    const now = this.monotonicMs();
    const last = this.lines.get(name);
    if (last && now - last.atMs < LINE_EVERY_MS) {
      last.suppressed++;
      return;
    }
    const suppressed = last?.suppressed ?? 0;
    this.lines.set(name, { atMs: now, suppressed: 0 });
    this.log[level]({ event: name, ...fields, ...(suppressed > 0 ? { suppressed } : {}) }, text);
  };

  counters(): Record<string, number> {
    return Object.fromEntries(this.counts);
  }
}

/** JSON lines on stderr. */
export function createLog(level: string): Logger {
  return pino(
    { name: 'girthlog-dashboard', level, base: {}, timestamp: pino.stdTimeFunctions.isoTime },
    pino.destination({ fd: 2, sync: true }),
  );
}
