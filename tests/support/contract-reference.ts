/**
 * An independent computation of the replay rules (docs/engine.md), written from the rules alone and as
 * plainly as possible: whole recordings, index by index, no streaming. The engine is checked against it.
 */
export interface ReferenceSample {
  readonly t: number;
  readonly current: number;
  readonly voltage: number;
  readonly power?: number;
  readonly wireFeed?: number;
  readonly travel?: number;
}

export interface ReferencePass {
  start: number;
  end: number;
  arcTime: number;
  energyKj: number;
  runOut: number;
  wireMm: number;
  extinctions: number;
  restarts: number;
  unobserved: number;
  ended: 'stopped' | 'interrupted' | 'recordingEnded';
}

interface Arc {
  start: number;
  end: number;
  ended: ReferencePass['ended'];
}

export function referencePasses(
  samples: readonly ReferenceSample[],
  period: number,
  heldAfter: number | null = 1,
): ReferencePass[] {
  const n = samples.length;
  const at = (i: number): ReferenceSample => samples[i]!;
  const gapLimit = Math.max(5 * period, 0.25);
  const gapAfter = samples.map((s, i) => i + 1 < n && at(i + 1).t - s.t > gapLimit + 1e-9);
  const held = heldSamples(samples, gapAfter, period <= 0.1 ? heldAfter : null);
  const good = samples.map((_, i) => i).filter(i => !held[i]);
  /** Unobserved stretches: gaps, and held runs from their first sample to the next sample that is not. */
  const holes: [number, number][] = [];
  for (let i = 0; i < n; i++) {
    if (gapAfter[i]) holes.push([at(i).t, at(i + 1).t]);
    else if (held[i] && i + 1 < n) holes.push([at(i).t, at(i + 1).t]);
  }
  const weight = (i: number): number => (held[i] || gapAfter[i] || i + 1 >= n ? 0 : at(i + 1).t - at(i).t);
  /** Where the unobserved stretch behind good sample i begins, and its length; null where there is none. */
  const holeBehind = (i: number, next: number): { from: number; length: number } | null => {
    if (gapAfter[i]) return { from: at(i).t, length: at(next).t - at(i).t };
    return next > i + 1 ? { from: at(i + 1).t, length: at(next).t - at(i + 1).t } : null;
  };
  /** A held run that the recording ends with. */
  const trailingHole = (i: number): { from: number; length: number } | null => {
    if (i + 1 >= n) return null;
    const from = gapAfter[i] ? at(i).t : at(i + 1).t;
    return { from, length: at(n - 1).t - from };
  };

  const arcs: Arc[] = [];
  let open: { start: number } | null = null;
  let rise: number | null = null;
  let fall: number | null = null;
  good.forEach((i, k) => {
    const { t, current, wireFeed } = at(i);
    const feeds = wireFeed === undefined || Number.isNaN(wireFeed) || wireFeed > 0;
    if (open === null) {
      if (current >= 30 && feeds) {
        rise ??= t;
        if (t - rise >= 0.2 - 1e-9) {
          open = { start: rise };
          rise = null;
          fall = null;
        }
      } else rise = null;
    } else if (current < 15) {
      fall ??= t;
      if (t - fall >= 0.5 - 1e-9) {
        arcs.push({ start: open.start, end: fall, ended: 'stopped' });
        open = null;
      }
    } else fall = null;
    const next = good[k + 1];
    const hole = next === undefined ? trailingHole(i) : holeBehind(i, next);
    if (hole) {
      rise = null;
      if (open !== null && hole.length > 15 + 1e-9) {
        arcs.push(
          fall === null
            ? { start: open.start, end: hole.from, ended: 'interrupted' }
            : { start: open.start, end: fall, ended: 'stopped' },
        );
        open = null;
        fall = null;
      }
    }
  });
  if (open !== null) {
    arcs.push({ start: (open as { start: number }).start, end: at(n - 1).t, ended: 'recordingEnded' });
  }
  return groupArcs(arcs).map(group => sumPass(group, samples, held, weight, holes));
}

function heldSamples(
  samples: readonly ReferenceSample[],
  gapAfter: boolean[],
  heldAfter: number | null,
): boolean[] {
  const held = samples.map(() => false);
  if (heldAfter === null) return held;
  for (let i = 0; i < samples.length; ) {
    let j = i;
    while (
      j + 1 < samples.length &&
      !gapAfter[j] &&
      samples[j + 1]!.current === samples[i]!.current &&
      samples[j + 1]!.voltage === samples[i]!.voltage
    ) {
      j++;
    }
    const span = samples[j]!.t - samples[i]!.t;
    if (samples[i]!.current >= 15 && span >= heldAfter - 1e-9) {
      for (let k = i; k <= j; k++) held[k] = true;
    }
    i = j + 1;
  }
  return held;
}

function groupArcs(arcs: readonly Arc[]): Arc[][] {
  const groups: Arc[][] = [];
  for (const arc of arcs) {
    const group = groups.at(-1);
    const last = group?.at(-1);
    if (group && last && last.ended !== 'interrupted' && arc.start - last.end < 15 - 1e-9) group.push(arc);
    else groups.push([arc]);
  }
  return groups;
}

function sumPass(
  group: readonly Arc[],
  samples: readonly ReferenceSample[],
  held: readonly boolean[],
  weight: (i: number) => number,
  holes: readonly [number, number][],
): ReferencePass {
  const last = group.at(-1)!;
  const start = group[0]!.start;
  const pass: ReferencePass = {
    start,
    end: last.end,
    arcTime: 0,
    energyKj: 0,
    runOut: 0,
    wireMm: 0,
    extinctions: 0,
    restarts: group.length - 1,
    unobserved: 0,
    ended: last.ended,
  };
  let powerEverywhere = true;
  let product = 0;
  let power = 0;
  for (const arc of group) {
    let low = false;
    samples.forEach((s, i) => {
      const last = arc.ended === 'recordingEnded' && i === samples.length - 1;
      if (held[i]) return;
      if (s.t < arc.start - 1e-9 || (s.t >= arc.end - 1e-9 && !last)) return;
      const w = weight(i);
      pass.runOut += (s.travel ?? 0) * w;
      pass.wireMm += (s.wireFeed ?? 0) * w;
      if (s.current >= 15) {
        if (low) pass.extinctions++;
        low = false;
        pass.arcTime += w;
        product += s.current * s.voltage * w;
        if (s.power === undefined && w > 0) powerEverywhere = false;
        power += (s.power ?? 0) * w;
      } else low = true;
    });
  }
  pass.energyKj = (powerEverywhere ? power : product) / 1000;
  for (const [from, to] of holes) {
    pass.unobserved += Math.max(0, Math.min(to, pass.end) - Math.max(from, start));
  }
  return pass;
}
