/**
 * A page server that only streams: sixteen rigs' live values, ten a second each, to whoever listens. Either through
 * the dashboard's StreamHub, or as one writes it first: each message at once to each reader.
 */
import { createServer, type ServerResponse } from 'node:http';
import { Announcements } from '../../../dashboard/server/live/announcements.ts';
import { StreamHub } from '../../../dashboard/server/live/stream-hub.ts';
import { liveMessage } from '../harness/live-message.ts';

const LIVE_EVERY_MS = 100;
const MAX_CLIENTS = 1000;

export interface FanOutOrder {
  readonly hub: boolean;
  readonly rigs: number;
}

/** CPU seconds of this process since it was last asked, and the number that every rig's newest message carries. */
export interface FanOutAnswer {
  readonly cpuS: number;
  readonly newest: number;
}

type Publish = (rig: string, tUs: number) => void;

export function runFanOut(): void {
  process.once('message', (order: FanOutOrder) => {
    const readers = new Set<ServerResponse>();
    const hub = new StreamHub({
      announcements: new Announcements('bench'),
      maxClients: MAX_CLIENTS,
      report: () => {},
      now: () => new Date(),
      rigs: () => [],
    });
    const usual = liveMessage(0);
    const toHub: Publish = (rig, tUs) => hub.live({ site: 'bench', rig }, { ...usual, tUs });
    const toEach: Publish = (rig, tUs) => {
      const rigs = [{ site: 'bench', rig, live: { ...usual, tUs } }];
      const text = `event: live\ndata: ${JSON.stringify({ thinned: false, rigs })}\n\n`;
      for (const response of readers) response.write(text);
    };
    const server = createServer((_request, response) => {
      if (order.hub) {
        hub.add(response, null);
        return;
      }
      response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
      response.write('retry: 2000\n\n');
      readers.add(response);
      response.on('close', () => readers.delete(response));
      response.on('error', () => {});
    });
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      process.send?.({ port: typeof address === 'object' && address ? address.port : 0 });
      answer(order.rigs, order.hub ? toHub : toEach);
    });
  });
}

/** Every rig at its own moment of the tenth of a second, until the parent asks; then a last time each. */
function answer(rigs: number, publish: Publish): void {
  let sent = 0;
  const started = performance.now();
  const timer = setInterval(() => {
    for (; (sent * LIVE_EVERY_MS) / rigs <= performance.now() - started; sent++) {
      publish(`rig-${sent % rigs}`, 1 + Math.floor(sent / rigs));
    }
  }, LIVE_EVERY_MS / rigs);
  let from = process.cpuUsage();
  process.on('message', (order: { read: 'begin' | 'end' }) => {
    if (order.read === 'begin') {
      from = process.cpuUsage();
      process.send?.({ cpuS: 0, newest: 0 } satisfies FanOutAnswer);
      return;
    }
    const { user, system } = process.cpuUsage(from);
    clearInterval(timer);
    const newest = 2 + Math.floor(sent / rigs);
    for (let rig = 0; rig < rigs; rig++) publish(`rig-${rig}`, newest);
    process.send?.({ cpuS: (user + system) / 1e6, newest } satisfies FanOutAnswer);
  });
}
