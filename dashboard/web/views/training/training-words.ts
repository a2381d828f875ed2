import type { Truth } from '#core/training/control';
import type { NamedChannel, TrainingAction } from '#core/training/names';
import { format, text } from '../../text/text.ts';
import { faultKind } from './fault-kinds.ts';

/** A fault as people say it, with its size: "Stick-out grows, 5 mm". */
export function faultWords({ fault, size }: { readonly fault: string; readonly size: number }): string {
  const t = text.value.training;
  const words = t.fault[fault] ?? fault;
  const unit = faultKind(fault)?.unit ?? null;
  if (unit === null) return words;
  const digits = Number.isInteger(size) ? 0 : 1;
  return `${words}, ${t.truth.size(format().fixed(size, digits), unit)}`;
}

type Window = Truth['windows'][number];

export function stretchWords({ fromMm, toMm }: Pick<Window, 'fromMm' | 'toMm'>): string {
  const t = text.value.training.truth;
  const { measure, value } = format();
  return toMm === null
    ? t.toEnd(measure('length', fromMm))
    : t.stretch(value('length', fromMm), measure('length', toMm));
}

export const whereWords = ({ rig, side }: { readonly rig: string; readonly side: string }): string =>
  text.value.training.rigSide(rig, side);

export function channelWords(channel: NamedChannel | null): string {
  const t = text.value.training;
  return channel === null ? t.marks.unnamed : t.channel[channel];
}

export function actionWords(action: TrainingAction | null): string {
  const t = text.value.training;
  return action === null ? t.marks.unnamed : t.action[action];
}

/** Right answers of a window in words. */
export function rightWords({ channels, actions }: Pick<Window, 'channels' | 'actions'>): string {
  const t = text.value.training;
  const list = (words: readonly string[]): string =>
    words.length === 0 ? t.truth.any : words.join(t.banner.or);
  return `${list(channels.map(channelWords))}; ${list(actions.map(actionWords))}`;
}
