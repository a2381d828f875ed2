/** A browser's event stream, as far as the benchmarks need it. */
import { get } from 'node:http';
import type { Live } from '#core/messages/live';

export interface LiveFrame {
  readonly rigs: readonly { readonly site: string; readonly rig: string; readonly live: Live }[];
}

/** Every `live` frame as it arrives. */
export const openLiveStream = (http: string, onLive: (frame: LiveFrame) => void): Promise<() => void> =>
  openStream(http, { live: data => onLive(data as LiveFrame) });

/** Resolves when the stream is open; the returned function closes it. Frames of other events are passed over. */
export function openStream(
  http: string,
  on: Readonly<Record<string, (data: unknown) => void>>,
): Promise<() => void> {
  return new Promise((resolve, reject) => {
    const request = get(`${http}/api/v1/stream`, response => {
      if (response.statusCode !== 200) {
        reject(new Error(`the stream answers ${response.statusCode}`));
        return;
      }
      let text = '';
      response.setEncoding('utf8').on('data', (piece: string) => {
        text += piece;
        const blocks = text.split('\n\n');
        text = blocks.pop() ?? '';
        for (const block of blocks) {
          const [, name = '', data] = /^event: (\w+)\ndata: (.*)$/.exec(block) ?? [];
          if (data !== undefined) on[name]?.(JSON.parse(data));
        }
      });
      response.on('error', () => {});
      resolve(() => request.destroy());
    });
    request.on('error', reject);
  });
}
