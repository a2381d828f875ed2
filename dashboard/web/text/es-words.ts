import { formats } from './format.ts';

/** What several Spanish texts share. */
export const { plural } = formats('es');

/** "las 4:30", "la 1:15": places on the clock take the article of the hour. */
export const atHour = (clock: string): string => (/^0?1(:|$)/.test(clock) ? `la ${clock}` : `las ${clock}`);
