import type { SessionView } from '#core/messages/api-training';
import type { ControlState, Truth } from '#core/training/control';
import { useApp } from '../../app-context.ts';
import { truthStrip } from '../../charts/truth-geometry.ts';
import { TruthStrip } from '../../charts/truth-strip.tsx';
import { format, text } from '../../text/text.ts';
import { faultWords, rightWords, stretchWords, whereWords } from './training-words.ts';
import { useFrames } from './use-frames.ts';

type Window = Truth['windows'][number];
type Stage = 'now' | 'ahead' | 'past';

const stageOf = ({ beganUtc, endedUtc }: Window): Stage =>
  beganUtc === null ? 'ahead' : endedUtc === null ? 'now' : 'past';

const ORDER: readonly Stage[] = ['now', 'ahead', 'past'];

/** For the trainer only: what is wrong now, what will be, and where each rig is. */
export function TruthNow({ session }: { readonly session: SessionView }) {
  const { training } = useApp();
  const t = text.value.training.truth;
  const windows = session.truth ?? [];
  const rigs = training.overview.value?.control?.rigs ?? [];
  const sorted = ORDER.flatMap(stage => windows.filter(window => stageOf(window) === stage));
  return (
    <section class="truth-now" aria-label={t.title}>
      <h2>{t.title}</h2>
      <Strips session={session} rigs={rigs} />
      <h3>{t.rigs}</h3>
      <ul class="training-lines">
        {rigs.map(rig => (
          <li key={rig.rig}>
            {rigWords(rig)}, {rig.arc ? t.arc.on : t.arc.off}
          </li>
        ))}
      </ul>
      {windows.length === 0 && <p class="hint">{session.state === 'ready' ? t.notBegun : t.nothing}</p>}
      {windows.length > 0 && (
        <table class="plain-table truth-table">
          <thead>
            <tr>
              <th scope="col">{t.columns.what}</th>
              <th scope="col">{t.columns.where}</th>
              <th scope="col">{t.columns.stage}</th>
              <th scope="col">{t.columns.right}</th>
            </tr>
          </thead>
          <tbody>
            {sorted.map(window => (
              <tr key={window.id} data-stage={stageOf(window)}>
                <th scope="row">
                  {faultWords(window)}{' '}
                  <span class="hint">
                    {t.kind[window.kind]}
                    {window.injected && `, ${t.injected}`}
                  </span>
                </th>
                <td data-label={t.columns.where}>
                  {whereWords(window)}, {t.place(window.joint, window.pass)}, {stretchWords(window)}
                </td>
                <td data-label={t.columns.stage}>
                  <strong>{t.stage[stageOf(window)]}</strong>{' '}
                  {window.beganUtc !== null && format().timeOfDay(Date.parse(window.beganUtc))}
                </td>
                <td data-label={t.columns.right}>{rightWords(window)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

function rigWords({ rig, side, joint, pass, alongMm }: ControlState['rigs'][number]): string {
  const t = text.value.training.truth;
  const where = whereWords({ rig, side });
  if (joint === null || pass === null) return t.rigBetween(where);
  const place = t.place(joint, pass);
  return alongMm === null
    ? t.rigOn(where, place)
    : t.rigAt(where, place, format().measure('length', alongMm));
}

interface StripsProps {
  readonly session: SessionView;
  readonly rigs: ControlState['rigs'];
}

/** One joint: the one that is welded, or the next with something in it. */
function Strips({ session, rigs }: StripsProps) {
  const t = text.value.training.truth;
  const frames = useFrames();
  const all = session.truth ?? [];
  const joint =
    rigs.find(rig => rig.joint !== null)?.joint ??
    all.find(window => stageOf(window) !== 'past')?.joint ??
    null;
  const windows = all.filter(window => window.joint === joint);
  const model = truthStrip({
    windows,
    // Those of the passes that run now; the list has all.
    marks: session.marks.flatMap(mark => {
      const pass = frames.passAt(mark);
      return pass === null ? [] : [{ mark, pass }];
    }),
    rigs: rigs.flatMap(({ rig, pass, alongMm }) =>
      pass === null || alongMm === null ? [] : [{ rig, pass, alongMm }],
    ),
    order: frames.order,
    frameOf: frames.frameOf,
    endMm: frames.endMm,
  });
  if (joint === null) return null;
  return (
    <>
      <TruthStrip model={model} label={t.strip} />
      <p class="hint">{t.stripNote}</p>
      {model.unplaced > 0 && <p class="hint">{t.unplaced(model.unplaced)}</p>}
    </>
  );
}
