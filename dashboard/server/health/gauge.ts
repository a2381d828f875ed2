/** Figures for /metrics: a figure that is not known is absent, never 0. */
import type { Registry } from 'prom-client';

export interface Sample {
  readonly labels?: Readonly<Record<string, string>>;
  readonly value: number | null | undefined;
}

export type AddFigure = (
  name: string,
  help: string,
  labels: readonly string[],
  read: () => readonly Sample[],
) => void;

type Library = Pick<typeof import('prom-client'), 'Gauge' | 'Counter'>;

/** Gauges of this registry, read anew each time it is asked. */
export function gauges({ Gauge }: Library, registry: Registry): AddFigure {
  return (name, help, labels, read) => {
    new Gauge({
      name,
      help,
      labelNames: [...labels],
      registers: [registry],
      collect() {
        this.reset();
        // Without labels the library would say 0 of what is not known.
        if (labels.length === 0) this.remove();
        for (const { labels: of = {}, value } of read()) {
          if (value !== null && value !== undefined && Number.isFinite(value)) this.set(of, value);
        }
      },
    });
  };
}

/** Counters kept elsewhere since their program began. */
export function counters({ Counter }: Library, registry: Registry): AddFigure {
  return (name, help, labels, read) => {
    new Counter({
      name,
      help,
      labelNames: [...labels],
      registers: [registry],
      collect() {
        this.reset();
        for (const { labels: of = {}, value } of read()) {
          if (typeof value === 'number' && Number.isFinite(value) && value >= 0) this.inc(of, value);
        }
      },
    });
  };
}
