import type { OutOfRange, PassMismatch } from '#core/messages/live';
import { passList } from '#core/pass/pass-mismatch-events';
import type { Procedure } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import { shownValue } from '../../charts/band-bar.tsx';
import type { NoDataCause } from '../../data/feed-state.ts';
import type { SideView } from '../../data/side-view.ts';
import type { Texts } from '../../text/en.ts';
import { durationText, oClockText } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { displays, format, text } from '../../text/text.ts';
import { clockBefore, DriftMessage } from './drift-message.tsx';

interface SideMessageProps {
  readonly view: SideView;
  readonly procedure: Procedure | null;
}

export function outSentence(t: Texts, flag: OutOfRange, view: SideView, diameterMm: number | null): string {
  const quantity = t.quantity[flag.quantity] ?? flag.quantity;
  const limit = flag.max !== null && flag.value > flag.max ? flag.max : (flag.min ?? flag.max);
  const unit = displays()[flag.quantity]?.unit ?? flag.unit;
  const since = clockBefore(view, flag.lengthMm, diameterMm);
  return [
    t.outOfRangeSentence(
      quantity,
      shownValue(flag.quantity, flag.value),
      shownValue(flag.quantity, limit),
      unit,
    ),
    ...(since === null ? [] : [t.sinceClock(since)]),
    ...(flag.lengthMm === null ? [] : [format().measure('length', flag.lengthMm)]),
  ].join(', ');
}

export function mismatchSentence(t: Texts, flag: PassMismatch): string {
  const { likelier, assigned, wireFeedMmS, travelMmS, program } = flag;
  const { measure } = format();
  const sentence = t.looksLike(
    passList(likelier),
    assigned,
    measure('wireFeedSpeed', wireFeedMmS),
    measure('travelSpeed', travelMmS),
  );
  return program === null ? sentence : `${sentence}${t.andProgram(format().fixed(program, 0))}`;
}

/** Here the edge itself reports that nothing valid reaches it; elsewhere it may be recording, unseen. */
const NOT_RECORDED: ReadonlySet<NoDataCause> = new Set(['source', 'held']);

/** The edge's words on its source come without a full stop where more may follow. */
const asSentence = (words: string): string => (/[.!?…]$/.test(words) ? words : `${words}.`);

function NoDataMessage({ view }: { readonly view: SideView }) {
  const { rigs } = useApp();
  const t = text.value;
  const { cause, detail, sinceMs, arcWasOn } = view.feed;
  if (cause === null) return null;
  const link = rigs.link.value;
  const linkSince = link.downSinceMs === null ? null : format().timeOfDay(link.downSinceMs);
  const why =
    cause === 'link'
      ? t.noDataBecause.link(linkSince)
      : detail === null
        ? t.noDataBecause[cause]
        : asSentence(said(detail));
  const elapsedS = sinceMs === null ? null : Math.max(0, (rigs.nowMs.value - sinceMs) / 1000);
  const at = view.position === null ? null : oClockText(view.position.clock);
  return (
    <div class="message nodata">
      {arcWasOn && (
        <strong>
          {at === null ? t.arcWasOn : t.arcWasOnAt(at)} {NOT_RECORDED.has(cause) && t.notRecorded}
          {!NOT_RECORDED.has(cause) && t.recordedUnknown}{' '}
        </strong>
      )}
      <span>
        {why} {elapsedS !== null && t.forSeconds(durationText(elapsedS))}
      </span>
    </div>
  );
}

/** True when the message must not be missed: a small tile then gives it the room of the figures. */
export const hasMessage = (view: SideView): boolean =>
  view.feed.cause !== null ||
  view.outOfRange.length > 0 ||
  view.passMismatch !== null ||
  view.drifting.length > 0 ||
  view.pending !== null ||
  view.work === null;

/** The one place of a tile for what is wrong or missing, worst first. */
export function SideMessage({ view, procedure }: SideMessageProps) {
  const t = text.value;
  if (view.feed.cause !== null) return <NoDataMessage view={view} />;
  if (view.passMismatch !== null) {
    // Values out of range follow from it: they are counted, and marked on their bars.
    return (
      <div class="message out">
        <span class="diamond" aria-hidden="true">
          ≠
        </span>{' '}
        <strong>{t.passMismatch}</strong> <span>{mismatchSentence(t, view.passMismatch)}.</span>
        {view.outOfRange.length > 0 && <span> {t.valuesOut(view.outOfRange.length)}.</span>}
      </div>
    );
  }
  const [first, ...more] = view.outOfRange;
  if (first !== undefined) {
    return (
      <div class="message out">
        <span class="diamond" aria-hidden="true">
          ◆
        </span>{' '}
        <strong>{t.outOfRange}</strong>{' '}
        <span>{outSentence(t, first, view, diameterOf(view, procedure))}.</span>
        {more.length > 0 && <span> {t.moreOut(more.length)}.</span>}
        {view.drifting.length > 0 && <span> {t.alarms.drifting.also(view.drifting.length)}.</span>}
      </div>
    );
  }
  if (view.drifting.length > 0) {
    return <DriftMessage view={view} diameterMm={diameterOf(view, procedure)} />;
  }
  if (view.pending !== null) {
    const what =
      view.pending === 'clear'
        ? t.pendingClear
        : `${view.pending.joint}, ${t.sideOf(view.pending.side)}, ${view.pending.pass}`;
    return <div class="message plain">{t.pending(what)}</div>;
  }
  if (view.work === null) return <div class="message plain">{t.noWorkHint}</div>;
  if (procedure === null) return <div class="message plain">{t.noProcedure}</div>;
  return <div class="message none" />;
}

export const diameterOf = (view: SideView, procedure: Procedure | null): number | null =>
  view.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null;
