/** A browser's event stream, as far as the benchmarks need it: every `live` frame as it arrives. */
import { get } from 'node:http';
import type { Live } from '#core/messages/live';

export interface LiveFrame {
  readonly rigs: readonly { readonly site: string; readonly rig: string; readonly live: Live }[];
}

/** Resolves when the stream is open; the returned function closes it. */
export function openLiveStream(http: string, onLive: (frame: LiveFrame) => void): Promise<() => void> {
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
          if (!block.startsWith('event: live\ndata: ')) continue;
          onLive(JSON.parse(block.slice('event: live\ndata: '.length)) as LiveFrame);
        }
      });
      response.on('error', () => {});
      resolve(() => request.destroy());
    });
    request.on('error', reject);
  });
}
