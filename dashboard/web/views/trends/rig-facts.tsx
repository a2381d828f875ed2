import { clockPosition } from '#core/position/clock-position';
import { useApp } from '../../app-context.ts';
import { spanArc } from '../../charts/ring-geometry.ts';
import { ringModel } from '../../charts/ring-model.ts';
import type { SideView } from '../../data/side-view.ts';
import { oClockText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';

/** The numbered diamonds of this joint's ring, in words. */
export function JointFlags({ view }: { readonly view: SideView }) {
  const { rigs, rings, procedures } = useApp();
  const t = text.value;
  const { work } = view;
  if (work === null) return null;
  const procedure = procedures.find(work.procedureId, work.procedureRevision);
  const sides = rigs.entries.value.map(entry => entry.view.value).filter(v => v.work?.joint === work.joint);
  const { flags, outsideDiameterMm } = ringModel(
    work.joint,
    rings.ringOf(work.joint).value,
    sides,
    procedure?.passes.map(({ name }) => name) ?? [],
    procedure?.pipe?.outsideDiameterMm ?? null,
  );
  return (
    <section>
      <h2>{t.trends.flagsTitle}</h2>
      {flags.length === 0 || outsideDiameterMm === null ? (
        <p>{t.trends.flagsNone}</p>
      ) : (
        <ol class="flag-list">
          {flags.map(flag => {
            const arc = spanArc(flag.side, flag.fromMm, flag.toMm, outsideDiameterMm);
            // In the order it was welded: side A runs against the clock.
            const [from, to] = flag.side === 'A' ? [arc.toDeg, arc.fromDeg] : [arc.fromDeg, arc.toDeg];
            return (
              <li key={flag.number}>
                {t.trends.flag(
                  flag.pass,
                  flag.side,
                  oClockText(clockPosition(from)),
                  oClockText(clockPosition(to)),
                  t.quantity[flag.quantity] ?? flag.quantity,
                  format().measure('length', flag.toMm - flag.fromMm),
                )}
              </li>
            );
          })}
        </ol>
      )}
    </section>
  );
}

/** What belongs beside every energy and every position. */
export function RigFacts({ view }: { readonly view: SideView }) {
  const t = text.value.trends;
  return (
    <section>
      <h2>{t.facts}</h2>
      {view.voltageTapPoint !== null && <p>{t.tapPoint(view.voltageTapPoint)}</p>}
      <p>
        {view.referenceRadiusMm === null
          ? t.referenceNone
          : t.reference(format().measure('size', view.referenceRadiusMm))}
      </p>
    </section>
  );
}
