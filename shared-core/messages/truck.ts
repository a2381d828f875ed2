import { z } from 'zod';
import { utcSchema } from './common.ts';

/** What is wrong at the truck itself; conditions of a rig come with its `alarms`. */
export const TRUCK_CAUSES = [
  'storeDamaged',
  'storeFull',
  'storeBlocked',
  'sealKeyRefused',
  'certificateEnds',
  'diskSpace',
  'logLarge',
  'backupOld',
  'backupFailed',
] as const;

/** True now; gone when it ends. */
export const truckConditionSchema = z.strictObject({
  cause: z.enum(TRUCK_CAUSES),
  priority: z.enum(['high', 'medium', 'low']),
  since: utcSchema,
  /** One sentence for a person, and what to do. */
  text: z.string().max(300),
  action: z.string().max(300),
});
export type TruckCondition = z.infer<typeof truckConditionSchema>;

/** Stream event `truck`: the whole list, whenever it changes and first of all. */
export const truckStateSchema = z.strictObject({ conditions: z.array(truckConditionSchema) });
export type TruckState = z.infer<typeof truckStateSchema>;

/** How much room the truck's store has; null where it cannot be told. */
export const truckRoomSchema = z.strictObject({
  bytes: z.int().nonnegative(),
  /** Log beside the store, cut back after each checkpoint. */
  logBytes: z.int().nonnegative(),
  freeBytes: z.number().nonnegative().nullable(),
  totalBytes: z.number().nonnegative().nullable(),
  /** Of the busiest of the last seven days; null before ten minutes are recorded. */
  bytesPerDay: z.number().nonnegative().nullable(),
  daysLeft: z.number().nonnegative().nullable(),
});
export type TruckRoom = z.infer<typeof truckRoomSchema>;
