import type { Phrase } from './phrase-book.ts';

export const SIGN_WORDS: readonly (readonly [string, string])[] = [
  ['current', 'corriente'],
  ['voltage', 'tensión'],
  ['wire feed', 'velocidad de alambre'],
  ['travel', 'avance'],
  ['gas flow', 'caudal de gas'],
  ['unrest of the current', 'inquietud de la corriente'],
  ['unrest of the voltage', 'inquietud de la tensión'],
];

/** Spanish: what speaks for a cause and against it. */
export const SIGN_PHRASES: readonly Phrase[] = [
  ...SIGN_WORDS.flatMap(([english, other]): Phrase[] => [
    [`${english} on the burn-off line ({} σ)`, `${other} en la línea de fusión ({1} σ)`],
    [`${english} as on good welds ({} σ)`, `${other} como en soldaduras buenas ({1} σ)`],
    [`${english} {} lower than on good welds ({} σ)`, `${other} {1} menor que en soldaduras buenas ({2} σ)`],
    [`${english} {} higher than on good welds ({} σ)`, `${other} {1} mayor que en soldaduras buenas ({2} σ)`],
    [`${english} {} below the burn-off line ({} σ)`, `${other} {1} por debajo de la línea de fusión ({2} σ)`],
    [`${english} {} above the burn-off line ({} σ)`, `${other} {1} por encima de la línea de fusión ({2} σ)`],
    [`${english} {} low ({} σ)`, `${other} {1} de menos ({2} σ)`],
    [`${english} {} high ({} σ)`, `${other} {1} de más ({2} σ)`],
  ]),
  ['{}: it should be up', '{1}: debería ser mayor'],
  ['{}: left unexplained', '{1}: queda sin explicar'],
  ['{}: less than expected', '{1}: menos de lo esperado'],
  ['{}: more than expected', '{1}: más de lo esperado'],
  ['{}: it should be down by {}', '{1}: debería bajar {2}'],
  ['{}: it should be up by {}', '{1}: debería subir {2}'],
  ['{}: a worn tip wanders', '{1}: una punta gastada baila'],
  ['{}: an arc without its gas is restless', '{1}: un arco sin su gas está inquieto'],
  ['{}: a loose joint is restless', '{1}: una unión floja está inquieta'],
  ['{}: the current did not follow the feed', '{1}: la corriente no siguió al alambre'],
  [
    '{}: a constant-voltage source gives more for less current',
    '{1}: una fuente de tensión constante da más con menos corriente',
  ],
  [
    '{}: a constant-voltage source gives less for more current',
    '{1}: una fuente de tensión constante da menos con más corriente',
  ],
  [
    '{}: a constant-voltage source follows the current',
    '{1}: una fuente de tensión constante sigue a la corriente',
  ],
  [
    'Possible causes only, found by arithmetic from the readings: no verdict, and others are possible.',
    'Solo causas posibles, halladas por cálculo a partir de las lecturas: no es un dictamen, y otras son posibles.',
  ],
  ['Not known: {}.', 'No se conoce: {1}.'],
];
