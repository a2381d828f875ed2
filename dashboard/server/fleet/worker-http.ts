/** What a supervisor and a monitoring system ask of an ingest worker; nothing about welds is served here. */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { counters, gauges } from '../health/gauge.ts';
import type { ListenAddress } from '../settings.ts';

export interface WorkerHttpOptions {
  readonly listen: ListenAddress;
  /** Why it does not take records now; null when it does. */
  readonly notReady: () => string | null;
  readonly figures: () => { readonly waiting: number; readonly samplesBehind: number | null };
  readonly counters: () => Record<string, number>;
}

export class WorkerHttp {
  private readonly options: WorkerHttpOptions;
  private server: Server | null = null;
  private metrics: (() => Promise<string>) | null = null;

  constructor(options: WorkerHttpOptions) {
    this.options = options;
  }

  /** The port it listens on. */
  async start(): Promise<number> {
    const server = createServer((request, response) => {
      const say = (status: number, text: string): void => {
        response.writeHead(status, {
          'content-type': 'text/plain; charset=utf-8',
          'cache-control': 'no-store',
        });
        response.end(text);
      };
      if (request.method !== 'GET') say(405, 'Only GET.\n');
      else if (request.url === '/livez') say(200, 'ok\n');
      else if (request.url === '/readyz') {
        const reason = this.options.notReady();
        say(reason === null ? 200 : 503, `${reason ?? 'ok'}\n`);
      } else if (request.url === '/metrics') {
        this.read().then(
          text => say(200, text),
          () => say(500, 'The figures could not be read.\n'),
        );
      } else say(404, 'There are /livez, /readyz and /metrics.\n');
    });
    this.server = server;
    const { host, port } = this.options.listen;
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(port, host, resolve);
    });
    return (server.address() as AddressInfo).port;
  }

  async stop(): Promise<void> {
    const { server } = this;
    if (!server) return;
    server.closeAllConnections();
    await new Promise(resolve => server.close(resolve));
  }

  private async read(): Promise<string> {
    this.metrics ??= await this.load();
    return this.metrics();
  }

  private async load(): Promise<() => Promise<string>> {
    const library = await import('prom-client');
    const registry = new library.Registry();
    library.collectDefaultMetrics({ register: registry });
    const gauge = gauges(library, registry);
    const { figures, notReady } = this.options;
    gauge('girthlog_ingest_ready', 'Takes records: 1, or 0.', [], () => [
      { value: notReady() === null ? 1 : 0 },
    ]);
    gauge('girthlog_ingest_waiting_records', 'Records that wait for the database.', [], () => [
      { value: figures().waiting },
    ]);
    gauge('girthlog_ingest_samples_behind_records', 'Records not yet in the sample store.', [], () => [
      { value: figures().samplesBehind },
    ]);
    counters(library, registry)(
      'girthlog_events_total',
      'Internal events by name, since the program started.',
      ['event'],
      () => Object.entries(this.options.counters()).map(([event, value]) => ({ labels: { event }, value })),
    );
    return () => registry.metrics();
  }
}
