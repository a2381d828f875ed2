import { useMemo } from 'preact/hooks';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { askedStretch, placeMap, timeAt, windowAt } from '../../charts/place-map.ts';
import { oClockText } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { ChannelStack } from './channel-stack.tsx';
import { PassFacts } from './pass-facts.tsx';
import { RangeFields } from './range-fields.tsx';
import type { ReviewRoute } from './review-route.ts';
import { INSPECTOR_TITLE } from './to-inspector.ts';
import { WindowTable } from './window-table.tsx';

interface PassInspectorProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly route: ReviewRoute;
  readonly cursorMm: number | null;
  readonly moveCursor: (mm: number | null) => void;
}

/** One pass: its verdicts, its channels on one axis with one cursor, its events, and the same in numbers. */
export function PassInspector({ review, pass, route, cursorMm, moveCursor }: PassInspectorProps) {
  const { go } = useApp();
  const t = text.value.review;
  const { fixed, measure, units } = format();
  const map = useMemo(() => placeMap(pass), [pass]);
  const stretch = askedStretch(map, route);
  const { side, pass: name } = pass.work;
  const passName = t.pass.nameOf(side, name, pass.message.rig);
  const cursor = cursorMm === null ? null : windowAt(pass.windows, cursorMm);
  return (
    <section class="inspector" aria-labelledby={INSPECTOR_TITLE}>
      <h2 id={INSPECTOR_TITLE} tabIndex={-1}>
        {t.pass.title(passName)}
      </h2>
      <div class="form-sheet">
        <div class="field">
          <label for="review-pass">{t.pass.pick}</label>
          <select
            id="review-pass"
            value={pass.message.passId}
            onChange={event =>
              go({ ...route, pass: event.currentTarget.value, fromMm: null, toMm: null, cursorMm: null })
            }
          >
            {review.passes.map(({ message, work }) => (
              <option key={message.passId} value={message.passId}>
                {t.pass.nameOf(work.side, work.pass, message.rig)}
              </option>
            ))}
          </select>
        </div>
      </div>
      <PassFacts pass={pass} />
      {stretch !== null && (
        <>
          <RangeFields route={route} stretch={stretch} />
          <div class="field">
            <label for="review-cursor">{t.pass.at(units.length.unit)}</label>
            <input
              id="review-cursor"
              class="cursor-range"
              type="range"
              min={Math.floor(stretch.fromMm)}
              max={Math.ceil(stretch.toMm)}
              step="1"
              value={cursorMm ?? stretch.fromMm}
              aria-valuetext={measure('length', cursorMm ?? stretch.fromMm)}
              onInput={event => moveCursor(Number(event.currentTarget.value))}
            />
            <p class="hint cursor-words" role="status">
              {cursorMm === null
                ? t.pass.cursorNowhere
                : cursor === null
                  ? t.pass.noWindow(measure('length', cursorMm))
                  : t.pass.cursor(
                      measure('length', cursorMm),
                      oClockText(cursor.fromClock),
                      fixed(timeAt(map, cursorMm), 1),
                    )}
            </p>
          </div>
        </>
      )}
      <ChannelStack
        review={review}
        pass={pass}
        map={map}
        stretch={stretch}
        axis={route.axis}
        cursorMm={cursorMm}
      />
      {pass.windowsNote !== null && <p class="message">{said(pass.windowsNote)}</p>}
      <WindowTable pass={pass} route={route} />
    </section>
  );
}
