// Names without the schemas, so that the page carries no schema library.
import type { ReviewWindow as Window, WindowQuantity } from '#core/messages/api-review';

export type ReviewWindow = Window;
export type WindowName = WindowQuantity;

export const WINDOW_NAMES: readonly WindowName[] = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'arcEnergy',
  'heatInput',
  'gasFlow',
];
