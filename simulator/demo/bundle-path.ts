import { fileURLToPath } from 'node:url';

/** Path of a built program beside this one, such as girthlog-edge. */
export const bundlePath = (name: string): string => fileURLToPath(new URL(`./${name}.js`, import.meta.url));
