import { type Signal, signal } from '@preact/signals';
import type { Rig } from '#core/messages/api';
import type { Live } from '#core/messages/live';
import { feedState } from './feed-state.ts';
import { LiveTrail } from './live-trail.ts';
import { flagsOf, type SideView, sideView } from './side-view.ts';
import type { LinkState } from './stream-client.ts';

/** A gap over which no distance was told still gets a mark that can be seen, mm. */
const UNSEEN_MIN_MM = 3;

type Stretch = SideView['unseenMm'][number];

/** One gap reported in several messages is one stretch. */
function joined(stretches: SideView['unseenMm'], next: Stretch): SideView['unseenMm'] {
  const last = stretches.at(-1);
  if (last === undefined || next.fromMm > last.toMm + 1) return [...stretches, next];
  return [...stretches.slice(0, -1), { fromMm: last.fromMm, toMm: Math.max(last.toMm, next.toMm) }];
}

export interface LinkInfo {
  readonly state: LinkState;
  /** Wall clock since when it is down; null while open or before the first connection. */
  readonly downSinceMs: number | null;
}

/** One rig as the page follows it: its last message, when data last moved, and what is shown of it. */
export class RigEntry {
  readonly key: string;
  readonly view: Signal<SideView>;
  readonly trail = new LiveTrail();
  rig: Rig;
  #lastFreshMs: number | null = null;
  #lastFreshWallMs: number | null = null;
  #lastUs: number | null = null;
  /** Like #lastFreshMs, but kept when what was shown is forgotten. */
  #movedMs: number | null = null;
  #arcWasOn = false;
  #lastAlongMm: number | null = null;
  #passKey = '';
  #unobservedS = 0;
  #unseen: SideView['unseenMm'] = [];
  #flags = '';

  constructor(rig: Rig, nowMs: number, link: LinkInfo) {
    this.key = `${rig.site}/${rig.rig}`;
    this.rig = rig;
    this.#lastUs = rig.live?.tUs ?? null;
    this.#arcWasOn = rig.live?.arc === 'on';
    this.view = signal(this.#look(nowMs, link));
  }

  /** The whole picture of the rig: a snapshot is never fresh data, however new it claims to be. */
  replace(rig: Rig): void {
    const ours = this.rig.live;
    const newer = rig.live !== null && (ours === null || rig.live.at > ours.at);
    this.rig = { ...rig, live: newer ? rig.live : ours };
    this.#lastUs ??= rig.live?.tUs ?? null;
  }

  live(live: Live, nowMs: number, wallMs: number): void {
    this.rig = { ...this.rig, live };
    const moved = live.tUs !== this.#lastUs;
    this.#lastUs = live.tUs;
    if (live.source.state !== 'streaming' || live.arc === 'noData') return;
    if (!moved) return;
    this.#movedMs = nowMs;
    this.#followPosition(live);
    this.#lastFreshMs = nowMs;
    this.#lastFreshWallMs = wallMs;
    this.#arcWasOn = live.arc === 'on';
    this.trail.add(live);
  }

  /** Record time now, µs: it goes on while nothing arrives, so that a trend moves away from its last value. */
  recordNowUs(nowMs: number): number | null {
    if (this.#lastUs === null) return null;
    return this.#movedMs === null ? this.#lastUs : this.#lastUs + (nowMs - this.#movedMs) * 1000;
  }

  /** The page was asleep: nothing from before may pass for now. */
  forget(): void {
    this.#lastFreshMs = null;
  }

  /** Publishes when a flag changed, or numbers are due. */
  publish(nowMs: number, link: LinkInfo, numbersDue: boolean): void {
    const view = this.#look(nowMs, link);
    const flags = flagsOf(view);
    if (flags === this.#flags && !numbersDue) return;
    this.#flags = flags;
    this.view.value = view;
  }

  #look(nowMs: number, link: LinkInfo): SideView {
    const feed = feedState({
      nowMs,
      link: link.state,
      linkDownSinceMs: link.downSinceMs,
      rig: this.rig,
      lastFreshMs: this.#lastFreshMs,
      lastFreshWallMs: this.#lastFreshWallMs,
      arcWasOn: this.#arcWasOn,
    });
    return sideView(this.rig, feed, this.#unseen);
  }

  #followPosition(live: Live): void {
    const passKey = `${live.assignment?.id ?? ''}#${live.pass?.index ?? 0}`;
    if (passKey !== this.#passKey) {
      this.#passKey = passKey;
      this.#unseen = [];
      this.#unobservedS = live.pass?.unobservedS ?? 0;
      this.#lastAlongMm = null;
    }
    const alongMm = live.position?.alongMm ?? null;
    const unobservedS = live.pass?.unobservedS ?? 0;
    const from = this.#lastAlongMm;
    // Only the edge knows what it did not record; that this page saw nothing for a while says nothing of it.
    if (alongMm !== null && from !== null && unobservedS > this.#unobservedS) {
      this.#unseen = joined(this.#unseen, { fromMm: from, toMm: Math.max(alongMm, from + UNSEEN_MIN_MM) });
    }
    this.#unobservedS = unobservedS;
    this.#lastAlongMm = alongMm;
  }
}
