/**
 * What the dashboard itself sees of each rig: an edge that is lost or says nothing, no link to the broker, and
 * whether an arc burns, without which conditions of the weld say nothing.
 */
import { START_MS, STOP_MS } from '#core/alarm/alarm-cause';
import type { DesignReason } from '#core/alarm/alarm-state';
import type { Alarms } from '#core/messages/alarms';
import type { Rig } from '#core/messages/api';
import type { AlarmAbout } from '#core/messages/api-alarm';
import type { Live } from '#core/messages/live';
import type { Status } from '#core/messages/status';
import type { RigAddress } from '#core/topics/topics';
import type { AlarmDesk } from './alarm-desk.ts';
import { edgeConditions, edgePrefix } from './edge-conditions.ts';

export interface RigWatchOptions {
  readonly desk: AlarmDesk;
  readonly monotonicMs: () => number;
  readonly now: () => Date;
  readonly isLinked: () => boolean;
}

/** Ready and silent for longer than this is lost; sooner where an arc burned. Our own choice. */
const SILENT_MS = 10_000;
const SILENT_WITH_ARC_MS = 5000;
/** Without a broker for this long; a restart of the embedded one takes less. */
const UNLINKED_MS = 10_000;
const BROKER = 'own brokerLost';

interface Watched {
  readonly address: RigAddress;
  rig: Rig;
  alarms: Alarms | null;
  status: Status | null;
  live: Live | null;
  liveMs: number | null;
  /** When it first said that it is ready. */
  readyMs: number | null;
  arc: 'on' | 'off' | null;
  arcSinceMs: number;
}

export class RigWatch {
  private readonly options: RigWatchOptions;
  private readonly rigs = new Map<string, Watched>();
  private linkedSinceMs: number | null = null;
  private unlinkedSinceMs: number | null;

  constructor(options: RigWatchOptions) {
    this.options = options;
    this.unlinkedSinceMs = options.monotonicMs();
  }

  /** A rig's picture changed in something other than its live summary. */
  rig(rig: Rig): void {
    const watched = this.watched(rig);
    watched.rig = rig;
    if (rig.alarms && rig.alarms !== watched.alarms) {
      watched.alarms = rig.alarms;
      const prefix = edgePrefix(rig);
      this.options.desk.takeAll(identity => identity.startsWith(prefix), edgeConditions(rig, rig.alarms));
    }
    if (rig.status === watched.status) return;
    watched.status = rig.status;
    if (rig.status?.state === 'ready') watched.readyMs ??= this.options.monotonicMs();
    this.look(watched);
  }

  live(address: RigAddress, live: Live): void {
    const watched = this.rigs.get(keyOf(address));
    if (!watched) return;
    const nowMs = this.options.monotonicMs();
    const wasSilent = watched.liveMs === null || this.silentMs(watched, nowMs) > SILENT_WITH_ARC_MS;
    watched.live = live;
    watched.liveMs = nowMs;
    const arc = live.arc === 'noData' ? watched.arc : live.arc;
    if (arc !== watched.arc) {
      watched.arc = arc;
      watched.arcSinceMs = nowMs;
      this.design(watched, nowMs);
    }
    if (wasSilent) this.look(watched);
  }

  /** Heard now; else what is known of it is what it last said. */
  isHeard(site: string, rig: string): boolean {
    const watched = this.rigs.get(`${site}/${rig}`);
    if (!watched || watched.liveMs === null || !this.options.isLinked()) return false;
    const isSilent = this.silentMs(watched, this.options.monotonicMs()) > SILENT_WITH_ARC_MS;
    return watched.status?.state !== 'lost' && watched.status?.state !== 'stopped' && !isSilent;
  }

  /** Once a second: time alone makes some things true. */
  tick(): void {
    const { isLinked, monotonicMs, desk, now } = this.options;
    const nowMs = monotonicMs();
    if (isLinked()) {
      this.linkedSinceMs ??= nowMs;
      this.unlinkedSinceMs = null;
      desk.clear(BROKER);
    } else {
      this.linkedSinceMs = null;
      this.unlinkedSinceMs ??= nowMs;
      const forMs = nowMs - this.unlinkedSinceMs;
      if (forMs > UNLINKED_MS) {
        desk.raise({ identity: BROKER, about: BROKER_LOST, sinceMs: now().getTime() - forMs });
      }
    }
    for (const watched of this.rigs.values()) {
      this.design(watched, nowMs);
      this.look(watched);
    }
  }

  private watched(rig: Rig): Watched {
    const { site, rig: name } = rig;
    const known = this.rigs.get(keyOf(rig));
    if (known) return known;
    const made: Watched = {
      address: { site, rig: name },
      rig,
      alarms: null,
      status: null,
      live: null,
      liveMs: null,
      readyMs: null,
      arc: null,
      arcSinceMs: 0,
    };
    this.rigs.set(keyOf(rig), made);
    return made;
  }

  /** Since it was last heard, or could first have been. */
  private silentMs({ liveMs, readyMs }: Watched, nowMs: number): number {
    return nowMs - Math.max(liveMs ?? readyMs ?? 0, this.linkedSinceMs ?? nowMs);
  }

  private design({ address, arc, arcSinceMs }: Watched, nowMs: number): void {
    if (arc === null) return;
    const forMs = nowMs - arcSinceMs;
    const off: DesignReason = forMs < STOP_MS ? 'stop' : 'arcOff';
    const on = forMs < START_MS ? 'start' : null;
    this.options.desk.suppress(address.site, address.rig, arc === 'on' ? on : off);
  }

  /** Whether the edge is lost. While the broker is, nothing can be said of it. */
  private look(watched: Watched): void {
    const { desk, monotonicMs, now, isLinked } = this.options;
    const identity = `own ${keyOf(watched.address)} edgeLost`;
    const state = watched.status?.state ?? null;
    if (!isLinked() || state === null) return;
    const arcWasOn = watched.arc === 'on';
    const silentMs = this.silentMs(watched, monotonicMs());
    const isSilent = state === 'ready' && silentMs > (arcWasOn ? SILENT_WITH_ARC_MS : SILENT_MS);
    if (state !== 'lost' && !isSilent) {
      if (state === 'stopped' || watched.liveMs !== null) desk.clear(identity);
      return;
    }
    const known = desk.isActive(identity) ? desk.find(identity)?.about.priority : undefined;
    const priority = arcWasOn ? 'high' : (known ?? 'medium');
    const sinceMs = isSilent ? now().getTime() - silentMs : Date.parse(watched.status!.at);
    desk.raise({ identity, about: lost(watched, priority, isSilent), sinceMs });
  }
}

function lost(
  { address, rig, live }: Watched,
  priority: AlarmAbout['priority'],
  isSilent: boolean,
): AlarmAbout {
  const work = live ? live.assignment : (rig.assignment?.work ?? null);
  const what = isSilent ? 'says nothing though the broker still has it' : 'is not connected';
  const arc = priority === 'high' ? ' The arc was on; whether it is recorded cannot be seen from here.' : '';
  return {
    ...address,
    cause: 'edgeLost',
    origin: live?.origin ?? rig.status?.origin ?? rig.info?.origin ?? null,
    priority,
    work: work && { joint: work.joint, side: work.side, pass: work.pass },
    quantities: [],
    place: live?.position ? { alongMm: live.position.alongMm, clock: live.position.clock } : null,
    text: `The edge of ${address.rig} ${what}.${arc}`,
    action:
      'Check that the edge computer runs, and its link. What it records is kept there until it returns.',
  };
}

const BROKER_LOST: AlarmAbout = {
  site: null,
  rig: null,
  cause: 'brokerLost',
  origin: null,
  priority: 'medium',
  work: null,
  quantities: [],
  place: null,
  text: 'The dashboard has no connection to the broker: nothing new arrives from any rig.',
  action: 'Check the broker and the network to it. Edges keep what they record.',
};

const keyOf = ({ site, rig }: RigAddress): string => `${site}/${rig}`;
