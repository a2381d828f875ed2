/** Records that did not pass their checks, as alarms: evidence of one rig that someone has to look after. */
import type { AlarmAbout } from '#core/messages/api-alarm';
import type { InternalEvent } from '../internal-events.ts';
import type { AlarmDesk } from './alarm-desk.ts';

export interface InternalWatchOptions {
  readonly desk: AlarmDesk;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
}

const PREFIX = 'own intake ';
/** A record that fails its check is over at once; the condition lasts this long after the last. Our own choice. */
const LASTS_MS = 60_000;

interface Kind {
  readonly cause: 'intakeTrouble' | 'machineTrouble';
  readonly priority: 'high' | 'medium';
  readonly text: string | ((fields: Readonly<Record<string, unknown>>) => string);
  readonly action: string;
}

const intake = (text: string): Kind => ({
  cause: 'intakeTrouble',
  priority: 'medium',
  text,
  action:
    'Tell the data manager: the log of the dashboard names the record. Nothing that was stored is lost.',
});

const KINDS: Readonly<Partial<Record<InternalEvent, Kind>>> = {
  recordHashMismatch: intake('A record did not carry the hash of its content: it was refused.'),
  recordOtherRig: intake('A record of another rig came on this rig’s topic: it was refused.'),
  recordOriginMismatch: intake('A record names two origins: it was refused.'),
  recordBodyUnreadable: intake('A record is kept, but its content cannot be read.'),
  chunkUnreadable: intake('Samples of a record cannot be decoded: the record is kept as it came.'),
  identityConflict: intake('Two different records carry one number: both are kept.'),
  chainBroken: intake('A record does not follow the one before it: it is kept, not acknowledged.'),
  passForeign: intake('A record holds a pass of another rig: it was left out.'),
  intakeFull: intake('More records come than the store takes: they are left for the edges to send again.'),
  machineTrespassed: {
    cause: 'machineTrouble',
    priority: 'high',
    text: trespassText,
    action:
      'Find out at the board whose configuration it has, or who has its key: girthlog-dashboard revoke takes its access back.',
  },
  machineRefused: {
    cause: 'machineTrouble',
    priority: 'medium',
    text: ({ identity, site }) =>
      site === undefined
        ? `Somebody without valid credentials tries to connect to the broker: ${shown(identity)}.`
        : `${shown(identity)} tries to connect with credentials that do not count any more: it was refused.`,
    action:
      'A board of this truck: enrol it (girthlog-dashboard enrol SITE/RIG). Another one: find out where it is. It records meanwhile.',
  },
};

const TRIED: Readonly<Record<string, string>> = {
  publish: 'tried to speak on',
  lastWill: 'tried to leave a last word on',
  subscribe: 'tried to listen to',
  clientId: 'tried to connect under the name',
};

function trespassText({ identity, what, name }: Readonly<Record<string, unknown>>): string {
  return `${shown(identity)} ${TRIED[String(what)]} ${shown(name)}, which is not its own: it was refused.`;
}

function shown(name: unknown): string {
  return String(name).slice(0, 90);
}

export class InternalWatch {
  private readonly options: InternalWatchOptions;
  private readonly lastMs = new Map<string, number>();

  constructor(options: InternalWatchOptions) {
    this.options = options;
  }

  /** What was wrong when the dashboard last ran is said again if it is still so. */
  start(): void {
    this.options.desk.takeAll(identity => identity.startsWith(PREFIX), []);
  }

  /** Every internal event; handled after the work that reported it is done. */
  readonly onEvent = (name: InternalEvent, fields: Readonly<Record<string, unknown>>): void => {
    const kind = KINDS[name];
    if (kind !== undefined) queueMicrotask(() => this.take(kind, fields));
  };

  tick(): void {
    const nowMs = this.options.monotonicMs();
    for (const [identity, lastMs] of this.lastMs) {
      if (nowMs - lastMs < LASTS_MS) continue;
      this.lastMs.delete(identity);
      this.options.desk.clear(identity);
    }
  }

  private take(kind: Kind, fields: Readonly<Record<string, unknown>>): void {
    const { desk, now, monotonicMs } = this.options;
    const { cause, priority, action, text } = kind;
    const { site, rig } = fields;
    const address = typeof site === 'string' && typeof rig === 'string' ? { site, rig } : NOBODY;
    const of = cause === 'machineTrouble' ? 'machine ' : '';
    const identity = `${PREFIX}${of}${address.site ?? '-'}/${address.rig ?? '-'}`;
    this.lastMs.set(identity, monotonicMs());
    const about: AlarmAbout = {
      ...address,
      cause,
      origin: null,
      priority,
      work: null,
      quantities: [],
      place: null,
      text: (typeof text === 'string' ? text : text(fields)).slice(0, 300),
      action,
    };
    desk.raise({ identity, about, sinceMs: now().getTime() });
  }
}

const NOBODY = { site: null, rig: null };
