/**
 * The same rules as one writes them first: an object and a map of channels for each sample, listeners, sums by
 * name. Only a baseline: no gaps, no repeated readings, no positions.
 */
import { EventEmitter } from 'node:events';
import type { SampleChunk } from '#core/sample/chunk';

interface Reading {
  readonly name: string;
  readonly unit: string;
  readonly value: number;
}

interface PlainSample {
  readonly tUs: number;
  readonly lengthS: number;
  readonly channels: Map<string, Reading>;
}

export interface EngineTotals {
  readonly arcTimeS: number;
  readonly energyKj: number;
  readonly runOutMm: number;
  readonly wireMm: number;
}

const UNITS: Readonly<Record<string, string>> = {
  weldingCurrent: 'A',
  arcVoltage: 'V',
  wireFeedSpeed: 'mm/s',
  travelSpeed: 'mm/s',
};

export class PlainEngine {
  private readonly bus = new EventEmitter();
  private readonly sums = new Map<string, number>();
  private readonly second: PlainSample[] = [];
  private pending: PlainSample[] = [];
  private state: 'off' | 'starting' | 'on' | 'stopping' = 'off';
  private windowMm = 0;
  private windows: Map<string, number>[] = [];

  constructor() {
    this.bus.on('sample', (sample: PlainSample) => this.slide(sample));
    this.bus.on('sample', (sample: PlainSample) => this.detect(sample));
  }

  push(chunk: SampleChunk): void {
    for (let i = 0; i < chunk.n; i++) {
      const channels = new Map<string, Reading>();
      for (const [name, column] of Object.entries(chunk.columns)) {
        channels.set(name, { name, unit: UNITS[name] ?? '1', value: column[i]! });
      }
      this.bus.emit('sample', { tUs: chunk.tUs[i]!, lengthS: chunk.lengthUs![i]! / 1e6, channels });
    }
  }

  totals(): EngineTotals {
    const sum = (name: string): number => this.sums.get(name) ?? 0;
    return {
      arcTimeS: sum('arcTime'),
      energyKj: sum('energy') / 1000,
      runOutMm: sum('travel'),
      wireMm: sum('wire'),
    };
  }

  private slide(sample: PlainSample): void {
    this.second.push(sample);
    while (sample.tUs - this.second[0]!.tUs >= 1e6) this.second.shift();
  }

  private detect(sample: PlainSample): void {
    const current = sample.channels.get('weldingCurrent')!.value;
    const feed = sample.channels.get('wireFeedSpeed')!.value;
    const pendingUs = this.pending.length > 0 ? sample.tUs - this.pending[0]!.tUs : 0;
    switch (this.state) {
      case 'off':
        if (current < 30 || feed <= 0) break;
        this.state = 'starting';
        this.pending = [sample];
        break;
      case 'starting':
        if (current < 30 || feed <= 0) {
          this.state = 'off';
          this.pending = [];
        } else if (pendingUs >= 0.2e6) {
          this.state = 'on';
          for (const earlier of [...this.pending, sample]) this.burn(earlier);
          this.pending = [];
        } else this.pending.push(sample);
        break;
      case 'on':
        if (current >= 15) this.burn(sample);
        else {
          this.state = 'stopping';
          this.pending = [sample];
        }
        break;
      case 'stopping':
        if (current >= 15) {
          this.state = 'on';
          for (const low of this.pending) this.travel(low);
          this.pending = [];
          this.burn(sample);
        } else if (pendingUs >= 0.5e6) {
          this.state = 'off';
          this.pending = [];
        } else this.pending.push(sample);
        break;
    }
  }

  private burn(sample: PlainSample): void {
    const { lengthS, channels } = sample;
    const current = channels.get('weldingCurrent')!.value;
    const voltage = channels.get('arcVoltage')!.value;
    this.add('arcTime', lengthS);
    this.add('current', current * lengthS);
    this.add('voltage', voltage * lengthS);
    this.add('energy', current * voltage * lengthS);
    this.travel(sample);
  }

  private travel({ lengthS, channels }: PlainSample): void {
    const mm = channels.get('travelSpeed')!.value * lengthS;
    this.add('travel', mm);
    this.add('wire', channels.get('wireFeedSpeed')!.value * lengthS);
    this.windowMm += mm;
    if (this.windowMm < 25) return;
    this.windows.push(new Map(this.sums));
    this.windowMm = 0;
  }

  private add(name: string, amount: number): void {
    this.sums.set(name, (this.sums.get(name) ?? 0) + amount);
  }
}
