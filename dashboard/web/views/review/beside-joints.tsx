import { useState } from 'preact/hooks';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { OverJoints } from '#core/messages/api-watch';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { BesideLines } from './beside-lines.tsx';
import { MOST_BESIDE, type ReviewRoute } from './review-route.ts';
import { WINDOW_NAMES } from './window-names.ts';

interface BesideJointsProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly route: ReviewRoute;
}

/** The same pass of the same side on up to three other joints; which, and of what, stands in the address. */
export function BesideJoints({ review, pass, route }: BesideJointsProps) {
  const { api, replace } = useApp();
  const t = text.value;
  const b = t.review.beside;
  const { procedureId } = pass.message;
  const { side, pass: name } = pass.work;
  const [picked, setPicked] = useState('');
  const { value: over } = useRead(`over ${procedureId} ${name} ${review.origin}`, async () =>
    procedureId === null || name === null
      ? null
      : api.get<OverJoints>(['over-joints'], {
          procedureId,
          pass: name,
          origin: review.origin,
          limit: '200',
        }),
  );
  const others = [...new Set((over?.passes ?? []).filter(one => one.side === side).map(one => one.joint))]
    .filter(joint => joint !== review.joint && !route.beside.includes(joint))
    .toReversed();
  const add = (joint: string): void => {
    if (joint !== '') replace({ ...route, beside: [...route.beside, joint] });
    setPicked('');
  };
  return (
    <section class="beside-joints">
      <h2>{b.title}</h2>
      <p>{b.intro}</p>
      {over !== null && others.length === 0 && route.beside.length === 0 && <p>{b.noOthers}</p>}
      <div class="form-sheet beside-pick">
        {route.beside.length < MOST_BESIDE && others.length > 0 && (
          <>
            <div class="field">
              <label for="beside-joint">{b.pick}</label>
              <select
                id="beside-joint"
                value={picked}
                onChange={event => setPicked(event.currentTarget.value)}
              >
                <option value="" />
                {others.map(joint => (
                  <option key={joint} value={joint}>
                    {joint}
                  </option>
                ))}
              </select>
            </div>
            <button type="button" onClick={() => add(picked)}>
              {b.add}
            </button>
          </>
        )}
        {route.beside.map(joint => (
          <button
            key={joint}
            type="button"
            onClick={() => replace({ ...route, beside: route.beside.filter(one => one !== joint) })}
          >
            {b.remove(joint)}
          </button>
        ))}
        {route.beside.length > 0 && (
          <div class="field">
            <label for="beside-quantity">{b.what}</label>
            <select
              id="beside-quantity"
              value={route.quantity}
              onChange={event => {
                const quantity = WINDOW_NAMES.find(one => one === event.currentTarget.value);
                if (quantity !== undefined) replace({ ...route, quantity });
              }}
            >
              {WINDOW_NAMES.map(one => (
                <option key={one} value={one}>
                  {t.changes.quantity[one]}
                </option>
              ))}
            </select>
          </div>
        )}
      </div>
      {route.beside.length > 0 && (
        <BesideLines review={review} pass={pass} beside={route.beside} quantity={route.quantity} />
      )}
    </section>
  );
}
