/** /metrics in OpenMetrics text: this program, the truck it runs in, and every edge; the library is loaded when first asked. */
import type { Registry } from 'prom-client';
import { addEdgeFigures, type EdgeSources } from './health/edge-figures.ts';
import { counters, gauges } from './health/gauge.ts';
import { addTruckFigures, type TruckSources } from './health/truck-figures.ts';

export interface MetricsSources {
  readonly truck: TruckSources;
  readonly edges: EdgeSources;
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
    const library = await import('prom-client');
    const registry = new library.Registry();
    registry.setContentType(library.Registry.OPENMETRICS_CONTENT_TYPE as never);
    // Among them the delay of the event loop and the memory of the program.
    library.collectDefaultMetrics({ register: registry });
    const gauge = gauges(library, registry);
    const counter = counters(library, registry);
    addTruckFigures(gauge, counter, this.sources.truck);
    addEdgeFigures(gauge, counter, this.sources.edges);
    return registry;
  }
}
