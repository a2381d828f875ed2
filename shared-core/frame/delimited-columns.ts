/** A delimited map made ready to read lines with: where each number stands and how it is scaled. */
import { CHANNEL_NAMES, CHANNELS, type Channel } from '../sample/channels.ts';
import { quantise } from '../sample/codec.ts';
import { convert } from '../units/ucum.ts';
import type { ColumnKey, DelimitedMap } from './delimited-map.ts';
import type { AnnouncedChannel } from './frame-decoder.ts';
import { resolutionOf, scalingOf, type ValueScaling } from './value-scaling.ts';

export interface DelimitedColumn {
  readonly scaling: ValueScaling;
  /** 0-based; −1 for a constant. */
  readonly index: number;
  /** Value in the channel's unit, where it is constant. */
  readonly constant: number;
}

export interface DelimitedColumns {
  readonly channels: readonly Channel[];
  readonly columns: readonly DelimitedColumn[];
  readonly timeIndex: number;
  readonly timeFactorUs: number;
  /** A line must have more cells than this. */
  readonly lastIndex: number;
}

/** Null when `header` (the cells of the header line) lacks a named column. */
export function delimitedColumns(
  map: DelimitedMap,
  header: readonly string[] | null,
): DelimitedColumns | null {
  const find = (key: ColumnKey): number => (typeof key === 'number' ? key : (header?.indexOf(key) ?? -1));
  const channels = CHANNEL_NAMES.filter(channel => map[channel] !== undefined);
  const columns = channels.map((channel): DelimitedColumn => {
    const entry = map[channel]!;
    if ('constant' in entry) {
      const scaling = scalingOf(channel, entry.unit, 1);
      const value = quantise(channel, convert(entry.constant, entry.unit, CHANNELS[channel].unit));
      return { scaling, index: -1, constant: value };
    }
    return {
      scaling: scalingOf(channel, entry.unit, entry.scale ?? 1),
      index: find(entry.column),
      constant: 0,
    };
  });
  const timeIndex = map.time === undefined ? -1 : find(map.time.column);
  const named = columns.some(({ index }, i) => index < 0 && 'column' in map[channels[i]!]!);
  if (named || (map.time !== undefined && timeIndex < 0)) return null;
  return {
    channels,
    columns,
    timeIndex,
    timeFactorUs: map.time === undefined ? 0 : convert(1, map.time.unit, 's') * (map.time.scale ?? 1) * 1e6,
    lastIndex: Math.max(timeIndex, ...columns.map(({ index }) => index)),
  };
}

/** What this map makes of a stream; a decimal line has no resolution of its own, so the channel's is given. */
export function announcedColumns(columns: DelimitedColumns): AnnouncedChannel[] {
  return columns.columns.map(({ scaling }) => ({
    channel: scaling.channel,
    unit: CHANNELS[scaling.channel].unit,
    resolution: Math.min(CHANNELS[scaling.channel].resolution, resolutionOf(scaling)),
  }));
}
