/** A source's handlers, with every byte also handed to the black box. */
import type { SourceHandlers } from '../source/source.ts';
import type { BlackBox } from './black-box.ts';

export function withBlackBox(handlers: SourceHandlers, box: BlackBox | null): SourceHandlers {
  if (!box) return handlers;
  return {
    onChunk: chunk => handlers.onChunk(chunk),
    onState: report => {
      if (report.state === 'open') box.opened(report.sinceUs);
      handlers.onState(report);
    },
    onAnnounce: announcement => handlers.onAnnounce?.(announcement),
    onRestart: (cause, atUs) => handlers.onRestart?.(cause, atUs),
    onAhead: (aheadUs, atUs) => handlers.onAhead?.(aheadUs, atUs),
    onFramesLost: (count, atUs) => handlers.onFramesLost?.(count, atUs),
    onBytes: (bytes, arrivalUs) => {
      box.take(bytes, arrivalUs);
      handlers.onBytes?.(bytes, arrivalUs);
    },
  };
}
