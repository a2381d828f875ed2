import type { ResolvedLimit } from '#core/procedure/limits';
import type { Texts } from '../text/en.ts';
import { displays, format } from '../text/text.ts';
import { type Band, bandGeometry } from './band-geometry.ts';

const percent = (place: number): string => `${Math.round(place * 1000) / 10}%`;

/** A number of one quantity as shown, without its unit. */
export function shownValue(quantity: string, stored: number | null): string {
  const display = displays()[quantity];
  if (display === undefined) return format().fixed(stored, 2);
  return format().fixed(stored === null ? null : display.shown(stored), display.decimals);
}

/** The limits in words: "limits 190 to 260 A". */
export function limitsText(t: Texts, limit: ResolvedLimit | null): string {
  const unit = limit === null ? '' : (displays()[limit.quantity]?.unit ?? limit.unit);
  const text = (value: number): string => shownValue(limit?.quantity ?? '', value);
  if (limit === null || (limit.min === null && limit.max === null)) return t.limits.none;
  if (limit.min === null) return t.limits.max(text(limit.max ?? 0), unit);
  if (limit.max === null) return t.limits.min(text(limit.min), unit);
  return t.limits.both(text(limit.min), text(limit.max), unit);
}

/** The same without word and unit, for a table that has both in its heads. */
export function limitsRange(t: Texts, limit: ResolvedLimit | null): string {
  if (limit === null || (limit.min === null && limit.max === null)) return t.limits.none;
  const text = (value: number | null): string => shownValue(limit.quantity, value);
  if (limit.min === null) return t.limits.atMost(text(limit.max));
  return limit.max === null
    ? t.limits.atLeast(text(limit.min))
    : t.limits.range(text(limit.min), text(limit.max));
}

interface BandBarProps {
  readonly t: Texts;
  readonly quantity: string;
  readonly value: number | null;
  readonly limit: ResolvedLimit | null;
  /** The rig's own flag, not a comparison made here: a value just beyond a limit is not yet out of range. */
  readonly out: boolean;
  /** No arc: the pointer is drawn faint, for nothing is being held against the limits. */
  readonly idle: boolean;
}

function describe({ t, quantity, value, limit }: BandBarProps, state: string): string {
  if (value === null) return t.barNoValue;
  const shown = `${shownValue(quantity, value)} ${displays()[quantity]?.unit ?? ''}`;
  const limits = limitsText(t, limit);
  if (state === 'below') return t.barBelow(shown, limits);
  if (state === 'above') return t.barAbove(shown, limits);
  return state === 'inside' ? t.barInside(shown, limits) : t.barNoLimit(shown);
}

const NO_BAND: Band = { min: null, nominal: null, max: null };

/** One value against its band: limits at the ends, dashed target, pointer. Off the scale the pointer lies down. */
export function BandBar(props: BandBarProps) {
  const { limit, value, out, idle } = props;
  const geometry = bandGeometry(limit ?? NO_BAND, value);
  const { minMark, maxMark, target, pointer, offScale, from, to } = geometry;
  const hasBand = minMark !== null || maxMark !== null;
  return (
    <div class="bar" role="img" aria-label={describe(props, geometry.state)} data-state={geometry.state}>
      <span class="bar-line" />
      {hasBand && <span class="bar-band" style={{ left: percent(from), width: percent(to - from) }} />}
      {minMark !== null && <span class="bar-end" style={{ left: percent(minMark) }} />}
      {maxMark !== null && <span class="bar-end" style={{ left: percent(maxMark) }} />}
      {target !== null && <span class="bar-target" style={{ left: percent(target) }} />}
      {pointer !== null && !(idle && offScale !== null) && (
        <svg
          class={out ? 'bar-pointer out' : idle ? 'bar-pointer idle' : 'bar-pointer'}
          data-off={offScale ?? 'no'}
          viewBox="0 0 20 24"
          aria-hidden="true"
          style={{ left: percent(pointer) }}
        >
          <path d={pointerShape(offScale)} />
        </svg>
      )}
    </div>
  );
}

/** Upright it points at its place; off the scale it lies down and points past the end. */
function pointerShape(offScale: 'low' | 'high' | null): string {
  if (offScale === 'low') return 'M1 12L12 2V8H19V16H12V22Z';
  if (offScale === 'high') return 'M19 12L8 2V8H1V16H8V22Z';
  return 'M10 1L17 8V23H3V8Z';
}
