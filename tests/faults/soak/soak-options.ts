/** How long and how hard; `npm run soak` passes its flags on in these variables. */
export interface SoakOptions {
  readonly minutes: number;
  readonly rigs: number;
  /** Simulated seconds a second. */
  readonly speed: number;
  readonly seed: number;
  /** Between two faults, s. */
  readonly faultEveryS: number;
}

export function soakOptions(env: NodeJS.ProcessEnv = process.env): SoakOptions {
  const number = (name: string, otherwise: number): number =>
    Number(env[`GIRTHLOG_SOAK_${name}`] ?? otherwise);
  const minutes = number('MINUTES', 0.35);
  return {
    minutes,
    // As part of `npm test` only a taste of it.
    rigs: number('RIGS', minutes < 1 ? 4 : 16),
    speed: number('SPEED', 10),
    seed: number('SEED', 1),
    faultEveryS: number('FAULT_EVERY', minutes >= 60 ? 60 : 3),
  };
}
