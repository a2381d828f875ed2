import type { OutOfRange } from '#core/messages/live';
import { clockPosition } from '#core/position/clock-position';
import type { Procedure } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import { shownValue } from '../../charts/band-bar.tsx';
import type { SideView } from '../../data/side-view.ts';
import type { Texts } from '../../text/en.ts';
import { durationText, oClockText, QUANTITY_DISPLAY } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';

interface SideMessageProps {
  readonly view: SideView;
  readonly procedure: Procedure | null;
}

/** Where it began, o'clock: the flag carries millimetres around the pipe. */
function sinceClock(flag: OutOfRange, diameterMm: number | null): string | null {
  if (flag.sincePositionMm === null || diameterMm === null) return null;
  return oClockText(clockPosition((360 * flag.sincePositionMm) / (Math.PI * diameterMm)));
}

export function outSentence(t: Texts, flag: OutOfRange, diameterMm: number | null): string {
  const quantity = t.quantity[flag.quantity] ?? flag.quantity;
  const limit = flag.max !== null && flag.value > flag.max ? flag.max : (flag.min ?? flag.max);
  const unit = QUANTITY_DISPLAY[flag.quantity]?.unit ?? flag.unit;
  const since = sinceClock(flag, diameterMm);
  return [
    t.outOfRangeSentence(
      quantity,
      shownValue(flag.quantity, flag.value),
      shownValue(flag.quantity, limit),
      unit,
    ),
    ...(since === null ? [] : [t.sinceClock(since)]),
    ...(flag.lengthMm === null ? [] : [t.overLength(format().fixed(flag.lengthMm, 0))]),
  ].join(', ');
}

function NoDataMessage({ view }: { readonly view: SideView }) {
  const { rigs } = useApp();
  const t = text.value;
  const { cause, detail, sinceMs, arcWasOn } = view.feed;
  if (cause === null) return null;
  const link = rigs.link.value;
  const linkSince = link.downSinceMs === null ? null : format().timeOfDay(link.downSinceMs);
  const why = cause === 'link' ? t.noDataBecause.link(linkSince) : (detail ?? t.noDataBecause[cause]);
  const elapsedS = sinceMs === null ? null : Math.max(0, (rigs.nowMs.value - sinceMs) / 1000);
  const at = view.position === null ? null : oClockText(view.position.clock);
  return (
    <div class="message nodata">
      {arcWasOn && <strong>{at === null ? t.arcWasOn : t.arcWasOnAt(at)} </strong>}
      <span>
        {why} {elapsedS !== null && t.forSeconds(durationText(elapsedS))}
      </span>
    </div>
  );
}

/** The one place of a tile for what is wrong or missing, worst first. */
export function SideMessage({ view, procedure }: SideMessageProps) {
  const t = text.value;
  if (view.feed.cause !== null) return <NoDataMessage view={view} />;
  const [first, ...more] = view.outOfRange;
  if (first !== undefined) {
    return (
      <div class="message out">
        <span class="diamond" aria-hidden="true">
          ◆
        </span>{' '}
        <strong>{t.outOfRange}</strong> <span>{outSentence(t, first, diameterOf(view, procedure))}.</span>
        {more.length > 0 && <span> {t.moreOut(more.length)}.</span>}
      </div>
    );
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
  if (procedure.exampleOnly === true) return <div class="message example">{t.exampleOnly}</div>;
  return <div class="message none" />;
}

const diameterOf = (view: SideView, procedure: Procedure | null): number | null =>
  view.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null;
