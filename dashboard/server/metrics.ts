/** /metrics in OpenMetrics text; the library is loaded when first asked. */
import type { Registry } from 'prom-client';

export interface MetricsSources {
  readonly counters: () => Record<string, number>;
  readonly readers: () => number;
  readonly brokerConnected: () => boolean;
  readonly waitingRecords: () => number;
}

export class Metrics {
  private readonly sources: MetricsSources;
  private registry: Registry | null = null;

  constructor(sources: MetricsSources) {
    this.sources = sources;
  }

  async read(): Promise<{ text: string; contentType: string }> {
    this.registry ??= await this.load();
    return { text: await this.registry.metrics(), contentType: this.registry.contentType };
  }

  private async load(): Promise<Registry> {
    const { collectDefaultMetrics, Counter, Gauge, Registry } = await import('prom-client');
    const { counters, readers, brokerConnected, waitingRecords } = this.sources;
    const registry = new Registry();
    registry.setContentType(Registry.OPENMETRICS_CONTENT_TYPE as never);
    collectDefaultMetrics({ register: registry });
    new Counter({
      name: 'girthlog_dashboard_events_total',
      help: 'Named internal events since start',
      labelNames: ['event'],
      registers: [registry],
      collect() {
        this.reset();
        for (const [event, count] of Object.entries(counters())) this.inc({ event }, count);
      },
    });
    const gauge = (name: string, help: string, read: () => number): void => {
      new Gauge({
        name,
        help,
        registers: [registry],
        collect() {
          this.set(read());
        },
      });
    };
    gauge('girthlog_dashboard_stream_readers', 'Screens on the live stream', readers);
    gauge('girthlog_dashboard_broker_connected', '1 while connected to the broker', () =>
      Number(brokerConnected()),
    );
    gauge('girthlog_dashboard_records_waiting', 'Records received and not yet committed', waitingRecords);
    return registry;
  }
}
