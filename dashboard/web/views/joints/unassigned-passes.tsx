import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { moveUrl } from './joint-routes.ts';
import { useUnassigned } from './use-unassigned.ts';

/** Passes recorded without an assignment, each to be given its joint. Nothing while there are none. */
export function UnassignedPasses({ joint }: { readonly joint: string }) {
  const t = text.value.joints;
  const passes = useUnassigned();
  if (passes.length === 0) return null;
  return (
    <section class="unassigned">
      <h2>{t.unassignedTitle}</h2>
      <p class="hint">{t.unassignedNote}</p>
      <ul class="entry-list">
        {passes.map(({ passId, rig, startUtc, endUtc, pass }) => (
          <li key={passId}>
            <div>
              {t.unassigned(
                rig,
                whenText(startUtc),
                whenText(endUtc),
                format().measure('length', pass.runOutLengthMm),
              )}
            </div>
            <a class="button" href={moveUrl(passId, joint)}>
              {joint === '' ? t.assign : t.assignHere}
              <span class="sr-only">{t.moveOf('', rig, whenText(startUtc))}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
