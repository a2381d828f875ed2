import type { Drifting } from '#core/messages/drift';
import { DEFAULT_SENSE } from '#core/position/circumferential-position';
import { clockPosition, degreesOfClock } from '#core/position/clock-position';
import { useApp } from '../../app-context.ts';
import { shownValue } from '../../charts/band-bar.tsx';
import type { SideView } from '../../data/side-view.ts';
import type { Trim } from '../../data/trims.ts';
import type { Texts } from '../../text/en.ts';
import { oClockText } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { displays, format, text } from '../../text/text.ts';

/** Where a side was when it had travelled `backMm` less, o'clock; null where the pipe or the place is not known. */
export function clockBefore(view: SideView, backMm: number | null, diameterMm: number | null): string | null {
  const { position, work } = view;
  if (backMm === null || position === null || work === null || diameterMm === null) return null;
  const back = (360 * backMm) / (Math.PI * diameterMm);
  return oClockText(clockPosition(degreesOfClock(position.clock) - DEFAULT_SENSE[work.side] * back));
}

const signed = (quantity: string, change: number): string =>
  `${change < 0 ? '−' : '+'}${shownValue(quantity, Math.abs(change))}`;

const quantityWord = (t: Texts, quantity: string): string =>
  t.quantity[quantity] ?? t.alarms.drifting.spread[quantity] ?? quantity;

/** Size and place of one change: "travel −0.4 mm/s, since 4:10 o’clock, 120 mm". */
export function driftWords(t: Texts, drift: Drifting, view: SideView, diameterMm: number | null): string {
  const d = t.alarms.drifting;
  const { quantity, change, unit, sincePositionMm, crossingInMm, rule } = drift;
  if (rule === 'pattern' || quantity === null) return said(drift.text);
  const along = view.position?.alongMm ?? null;
  const lengthMm = sincePositionMm === null || along === null ? null : Math.max(0, along - sincePositionMm);
  const since = clockBefore(view, lengthMm, diameterMm);
  const word = quantityWord(t, quantity);
  return [
    change === null
      ? word
      : d.change(word, signed(quantity, change), displays()[quantity]?.unit ?? unit ?? ''),
    ...(since === null ? [] : [d.since(since)]),
    ...(lengthMm === null ? [] : [format().measure('length', lengthMm)]),
    ...(crossingInMm === null ? [] : [d.ahead(format().measure('length', crossingInMm))]),
  ].join(', ');
}

/** A slope: the shape that says that something moves. */
export function Slope({ direction }: Pick<Drifting, 'direction'>) {
  return (
    <svg class="slope" viewBox="0 0 24 16" aria-hidden="true">
      <path d={direction === 'low' ? 'M1 2L23 14M23 14V6M23 14H15' : 'M1 14L23 2M23 2V10M23 2H15'} />
    </svg>
  );
}

export function driftWord(t: Texts, { rule }: Drifting): string {
  const d = t.alarms.drifting;
  return rule === 'projected' ? d.projected : rule === 'pattern' ? d.pattern : d.word;
}

interface DriftMessageProps {
  readonly view: SideView;
  readonly diameterMm: number | null;
}

/** On a tile: the first change that holds, and what it looks like. The evidence is one tap away, in the trends. */
export function DriftMessage({ view, diameterMm }: DriftMessageProps) {
  const t = text.value;
  const [first, ...more] = view.drifting;
  if (first === undefined) return null;
  const [like] = first.looksLike;
  return (
    <div class="message drift">
      <Slope direction={first.direction} /> <strong>{driftWord(t, first)}</strong>{' '}
      <span>{driftWords(t, first, view, diameterMm)}</span>
      {like !== undefined && <span>; {t.alarms.drifting.looksLike(said(like.cause))}</span>}.
      {more.length > 0 && <span> {t.alarms.drifting.more(more.length)}.</span>}
    </div>
  );
}

export function trimWords(t: Texts, { quantity, percent, clock, text: sentence }: Trim): string {
  if (percent === null || clock === null) return said(sentence);
  const change = `${percent < 0 ? '−' : '+'}${format().fixed(Math.abs(percent), 0)} %`;
  return t.alarms.drifting.trim(quantityWord(t, quantity), change, oClockText(clock));
}

/** The newest trim of the running pass, as a small grey mark: the operator may do this. */
export function TrimMark({ view }: { readonly view: SideView }) {
  const { trims } = useApp();
  const last = trims.of(view.key, view.pass?.index ?? null).at(-1);
  if (last === undefined) return null;
  return <p class="trim">{trimWords(text.value, last)}</p>;
}
