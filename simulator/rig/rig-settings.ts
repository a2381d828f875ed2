import type { Side } from '#core/messages/common';
import { leadResistanceOhm } from '../physics/power-source.ts';
import type { WireFeedSensor } from '../physics/wire-feeder.ts';

/** Where voltage is measured: between contact tip and work, or at the source's terminals. */
export type VoltageTap = 'tip' | 'source';

/** What one rig is and how it is set up. */
export interface RigSettings {
  readonly id: string;
  readonly side: Side;
  readonly outsideDiameterMm: number;
  readonly wallThicknessMm: number;
  readonly bandRadiusMm: number;
  readonly referenceRadiusMm: number;
  readonly voltageTap: VoltageTap;
  readonly feedSensor: WireFeedSensor;
  readonly leadOhm: number;
  readonly preheatCel: number;
  readonly airCel: number;
}

/** 60 m of 95 mm² copper at 40 °C, there and back in one figure. */
export const LEAD_OHM = leadResistanceOhm(60, 95, 40);
