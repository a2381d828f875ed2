import type { EdgeRun } from '#core/messages/api-journal';
import { format, text } from '../../text/text.ts';
import type { EdgeLook } from './use-edge-run.ts';

interface EdgeRunBoxProps {
  readonly look: EdgeLook;
  readonly again: () => void;
  readonly speed: (mmPerS: number) => string;
  readonly useValue: (run: EdgeRun) => void;
  readonly useTime: (run: EdgeRun) => void;
}

/** What the edge itself saw of the run, offered beside the tape; nothing is taken over unasked. */
export function EdgeRunBox({ look, again, speed, useValue, useTime }: EdgeRunBoxProps) {
  const t = text.value.verify.edge;
  const seconds = (s: number): string => format().fixed(s, 2);
  const from = (run: EdgeRun): string => format().timeOfDay(Date.parse(run.startUtc));
  return (
    <section class="edge-run" aria-label={t.title}>
      <h2>{t.title}</h2>
      <p role="status">
        {look.kind === 'idle' && t.idle}
        {look.kind === 'looking' && t.looking}
        {look.kind === 'none' && t.none}
        {look.kind === 'failed' && t.failed}
        {look.kind === 'other' && t.other(from(look.run), seconds(look.run.runS))}
        {look.kind === 'seen' && (
          <>
            <strong>{t.saw(speed(look.run.meanMmPerS), from(look.run), seconds(look.run.runS))}</strong>.{' '}
            {t.kept}
          </>
        )}
      </p>
      <div class="picks">
        {look.kind === 'seen' && (
          <>
            <button type="button" onClick={() => useValue(look.run)}>
              {t.useValue}
            </button>
            <button type="button" onClick={() => useTime(look.run)}>
              {t.useTime(seconds(look.run.runS))}
            </button>
          </>
        )}
        {look.kind !== 'looking' && (
          <button type="button" onClick={again}>
            {t.again}
          </button>
        )}
      </div>
    </section>
  );
}
