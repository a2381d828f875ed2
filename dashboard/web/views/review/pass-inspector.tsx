import { useState } from 'preact/hooks';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { Pick } from '../../parts/pick.tsx';
import { oClockText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { ChannelStack } from './channel-stack.tsx';
import { PassFacts } from './pass-facts.tsx';
import { extentOf, timeAt, windowAt } from './place-map.ts';
import { type ReviewRoute, reviewUrl } from './review-route.ts';
import { WindowTable } from './window-table.tsx';

interface PassInspectorProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly route: ReviewRoute;
}

/** One pass: its verdicts, its channels on one axis with one cursor, its events, and the same in numbers. */
export function PassInspector({ review, pass, route }: PassInspectorProps) {
  const { go } = useApp();
  const t = text.value.review;
  const { fixed } = format();
  const extent = extentOf(pass.windows);
  const fromMm = route.fromMm ?? extent?.fromMm ?? null;
  const toMm = route.toMm ?? extent?.toMm ?? null;
  const [typed, setTyped] = useState<Partial<Record<'from' | 'to', string>>>({});
  const set = (part: Partial<ReviewRoute>): void => go({ ...route, ...part });
  const typeEnd = (key: 'from' | 'to', value: string): void => {
    setTyped(now => ({ ...now, [key]: value }));
    const mm = value.trim() === '' ? null : Number(value.replace(',', '.'));
    if (mm === null || Number.isFinite(mm)) set(key === 'from' ? { fromMm: mm } : { toMm: mm });
  };
  const cursor = route.cursorMm === null ? null : windowAt(pass.windows, route.cursorMm);
  const { side, pass: name } = pass.work;
  return (
    <section class="inspector" aria-label={t.pass.nameOf(side, name, pass.message.rig)}>
      <div class="form-sheet">
        <div class="field">
          <label for="review-pass">{t.pass.pick}</label>
          <select
            id="review-pass"
            value={pass.message.passId}
            onChange={event =>
              set({ pass: event.currentTarget.value, fromMm: null, toMm: null, cursorMm: null })
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
      {extent !== null && fromMm !== null && toMm !== null && (
        <>
          <div class="form-sheet inspector-range">
            <TypedField
              id="review-from"
              label={t.pass.from}
              value={typed.from ?? fixed(fromMm, 0)}
              error={null}
              type={value => typeEnd('from', value)}
            />
            <TypedField
              id="review-to"
              label={t.pass.to}
              value={typed.to ?? fixed(toMm, 0)}
              error={null}
              type={value => typeEnd('to', value)}
            />
            <a
              class="button"
              href={reviewUrl({ ...route, fromMm: null, toMm: null })}
              onClick={() => setTyped({})}
            >
              {t.pass.whole}
            </a>
            <Pick
              name="review-axis"
              legend={t.pass.axis}
              options={[
                { value: 'mm', label: t.pass.axisMm },
                { value: 's', label: t.pass.axisS },
              ]}
              value={route.axis}
              error={null}
              pick={value => set({ axis: value === 's' ? 's' : 'mm' })}
            />
          </div>
          <div class="field">
            <label for="review-cursor">{t.pass.at}</label>
            <input
              id="review-cursor"
              class="cursor-range"
              type="range"
              min={fromMm}
              max={toMm}
              step="1"
              value={route.cursorMm ?? fromMm}
              onInput={event => set({ cursorMm: Number(event.currentTarget.value) })}
            />
            <p class="hint" role="status">
              {route.cursorMm === null
                ? ''
                : cursor === null
                  ? t.pass.noWindow
                  : t.pass.cursor(
                      fixed(route.cursorMm, 0),
                      oClockText(cursor.fromClock),
                      fixed(timeAt(pass.windows, route.cursorMm), 1),
                    )}
            </p>
          </div>
          <ChannelStack review={review} pass={pass} fromMm={fromMm} toMm={toMm} route={route} />
        </>
      )}
      {pass.windowsNote !== null && <p class="message">{pass.windowsNote}</p>}
      <WindowTable pass={pass} route={route} />
    </section>
  );
}
