import { en, type Texts } from './en.ts';
import { esScreens } from './es-screens.ts';

/** The Spanish catalogue: the keys of the English one. */
export const es: Texts = {
  ...en,
  language: 'es',
  screens: esScreens,
};
