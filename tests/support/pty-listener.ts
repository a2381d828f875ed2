import { onTestFinished } from 'vitest';
import type { SourceAnnouncement } from '#core/frame/frame-decoder';
import type { SampleChunk } from '#core/sample/chunk';
import { openSource } from '../../edge/source/open-source.ts';
import type { RestartCause, Source, SourceStateReport } from '../../edge/source/source.ts';
import { systemSourceClock } from '../../edge/source/source-clock.ts';
import { sourceSettingsSchema } from '../../edge/source/source-settings.ts';

/** A source with everything it has said so far. */
export interface Listener {
  readonly source: Source;
  readonly chunks: SampleChunk[];
  readonly states: SourceStateReport[];
  readonly announcements: SourceAnnouncement[];
  readonly restarts: RestartCause[];
  readonly lost: number[];
  state(): SourceStateReport | undefined;
  samples(): number;
}

export const monotonicUs = (): number => Number(process.hrtime.bigint() / 1000n);

/** Opens and starts a source from the keys of a `[source]` table; stopped with the running test. */
export function listen(settings: unknown): Listener {
  const chunks: SampleChunk[] = [];
  const states: SourceStateReport[] = [];
  const announcements: SourceAnnouncement[] = [];
  const restarts: RestartCause[] = [];
  const lost: number[] = [];
  const source = openSource(sourceSettingsSchema.parse(settings), systemSourceClock(monotonicUs), {
    onChunk: chunk => {
      chunks.push(chunk);
    },
    onState: report => states.push(report),
    onAnnounce: announcement => announcements.push(announcement),
    onRestart: cause => restarts.push(cause),
    onFramesLost: count => lost.push(count),
  });
  onTestFinished(() => source.stop());
  source.start();
  return {
    source,
    chunks,
    states,
    announcements,
    restarts,
    lost,
    state: () => states.at(-1),
    samples: () => chunks.reduce((sum, { n }) => sum + n, 0),
  };
}
