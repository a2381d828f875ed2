import type { PassWork } from '#core/messages/api-journal';
import type { Origin } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import { HoldMark } from '../../parts/hold-mark.tsx';
import { whenText } from '../../parts/when-text.ts';
import { durationText } from '../../text/format.ts';
import { text } from '../../text/text.ts';
import { moveUrl, taskUrl } from './joint-routes.ts';
import { PassReadiness } from './pass-readiness.tsx';
import { type JointWork, type LayerWork, type RecordedPass, type SideWork, worstOf } from './pass-work.ts';
import { VerdictCompare } from './verdict-compare.tsx';

interface PassLayersProps {
  readonly joint: string;
  /** Of the joint: a pass says its own only where it is another. */
  readonly origin: Origin;
  readonly layers: readonly LayerWork[];
  readonly nameOf: (id: string) => string;
}

/** A place in words, whatever of it is known. */
export function placeWords({ joint, side, pass }: PassWork): string {
  const t = text.value;
  if (joint === null) return t.joints.noPlace;
  return t.joints.place(
    joint,
    side === null ? t.joints.noSidePlace : t.sideOf(side),
    pass ?? t.joints.noPassPlace,
  );
}

/** Layer by layer, in the order they are welded: both sides as they stand on the pipe, and the visual release. */
export function PassLayers({ joint, origin, layers, nameOf }: PassLayersProps) {
  const t = text.value.joints;
  return (
    <ol class="layers">
      {layers.map(layer => (
        <li key={layer.pass} class="layer">
          <header>
            <h3>
              <bdi>{layer.pass}</bdi>
              {!layer.known && <span class="layer-note"> {t.unknownLayer}</span>}
            </h3>
            <p class="release" data-released={layer.release?.body.released ?? 'none'}>
              {layer.release === null
                ? t.releaseNone
                : (layer.release.body.released ? t.releaseYes : t.releaseNo)(
                    nameOf(layer.release.author),
                    whenText(layer.release.at),
                  )}
            </p>
            <a class="button" href={taskUrl(joint, 'release', { pass: layer.pass })}>
              {t.release}
              <span class="sr-only">{t.releaseOf(layer.pass)}</span>
            </a>
          </header>
          <div class="layer-sides">
            {layer.sides.map(side => (
              <SideBox
                key={side.side}
                joint={joint}
                origin={origin}
                pass={layer.pass}
                work={side}
                nameOf={nameOf}
              />
            ))}
          </div>
        </li>
      ))}
    </ol>
  );
}

interface SideBoxProps {
  readonly joint: string;
  readonly origin: Origin;
  readonly pass: string;
  readonly work: SideWork;
  readonly nameOf: (id: string) => string;
}

function SideBox({ joint, origin, pass, work, nameOf }: SideBoxProps) {
  const t = text.value.joints;
  const { side, state, recorded, elsewhere } = work;
  return (
    <div class="side-box" data-state={state} data-side={side}>
      <h4>
        {t.sides[side]} <span class="pass-state">{t.passState[state]}</span>
      </h4>
      {recorded.map(one => (
        <Recorded key={one.message.passId} joint={joint} origin={origin} one={one} nameOf={nameOf} />
      ))}
      {elsewhere.map(({ id, body }) => (
        <p key={id}>
          <bdi>{t.byElsewhere(body.weldedBy, body.how, whenText(body.weldedAt))}</bdi>
        </p>
      ))}
      {state === 'none' && (
        <a class="button" href={taskUrl(joint, 'elsewhere', { pass, side })}>
          {t.logElsewhere}
          <span class="sr-only">{t.logElsewhereOf(pass, t.sides[side])}</span>
        </a>
      )}
    </div>
  );
}

interface RecordedProps {
  readonly joint: string;
  readonly origin: Origin;
  readonly one: RecordedPass;
  readonly nameOf: (id: string) => string;
}

function Recorded({ joint, origin, one, nameOf }: RecordedProps) {
  const t = text.value;
  const j = t.joints;
  const { message, move, gapS, gapAfter } = one;
  const worst = worstOf(message);
  return (
    <div class="recorded">
      <p>
        {j.bySeen(message.rig, whenText(message.startUtc), whenText(message.endUtc))}
        {message.origin !== origin && <strong class="origin-mark"> {t.origin[message.origin]}</strong>}
      </p>
      <p class="worst" data-worst={worst}>
        {j.verdict[worst]}
        {message.deviations.length > 0 && ` · ${j.deviations(message.deviations.length)}`}
      </p>
      <PassReadiness passId={message.passId} />
      {gapS !== null && gapAfter !== null && <p class="hint">{j.gap(durationText(gapS), gapAfter)}</p>}
      {move !== null && (
        <>
          <p class="moved">
            <bdi>
              {j.movedHere(placeWords(move.from), nameOf(move.author), whenText(move.at), move.reason ?? '')}
            </bdi>
          </p>
          <VerdictCompare passId={move.passId} entryId={move.entryId} />
        </>
      )}
      {message.state === 'closed' && (
        <a class="button" href={moveUrl(message.passId, joint)}>
          {j.move}
          <span class="sr-only">
            {j.moveOf(
              move?.to.pass ?? message.pass.procedurePass ?? '',
              message.rig,
              whenText(message.startUtc),
            )}
          </span>
        </a>
      )}
    </div>
  );
}

interface MovedAwayProps {
  readonly movedAway: JointWork['movedAway'];
  readonly joint: string;
  readonly nameOf: (id: string) => string;
}

/** What was recorded under this joint and belongs to another by an entry since. */
export function MovedAway({ movedAway, joint, nameOf }: MovedAwayProps) {
  const j = text.value.joints;
  if (movedAway.length === 0) return null;
  return (
    <section>
      <h2>{j.movedAwayTitle}</h2>
      {movedAway.map(({ message, move }) => (
        <div class="side-box moved-away" key={message.passId}>
          <p>
            <bdi>
              {j.movedAway(
                move.from.pass ?? j.noPassPlace,
                placeWords(move.to),
                nameOf(move.author),
                whenText(move.at),
                move.reason ?? '',
              )}
            </bdi>{' '}
            {move.to.joint !== null && <HoldMark joint={move.to.joint} />}
          </p>
          <VerdictCompare passId={move.passId} entryId={move.entryId} />
          <a class="button" href={moveUrl(message.passId, joint)}>
            {j.move}
            <span class="sr-only">
              {j.moveOf(message.pass.procedurePass ?? '', message.rig, whenText(message.startUtc))}
            </span>
          </a>
        </div>
      ))}
    </section>
  );
}

/** Recorded under this joint without a side or a pass: each is to be given its place. */
export function Unplaced({
  passes,
  joint,
}: {
  readonly passes: readonly PassMessage[];
  readonly joint: string;
}) {
  const j = text.value.joints;
  if (passes.length === 0) return null;
  return (
    <section>
      <h2>{j.unplacedTitle}</h2>
      <ul class="entry-list">
        {passes.map(({ passId, rig, startUtc, endUtc }) => (
          <li key={passId}>
            <div>{j.bySeen(rig, whenText(startUtc), whenText(endUtc))}</div>
            <a class="button" href={moveUrl(passId, joint)}>
              {j.move}
              <span class="sr-only">{j.moveOf('', rig, whenText(startUtc))}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
