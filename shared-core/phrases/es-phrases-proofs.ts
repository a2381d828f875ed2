import type { Phrase } from './phrase-book.ts';

/** Spanish: what proves each sum. */
export const PROOF_PHRASES: readonly Phrase[] = [
  ['no published value', 'ningún valor publicado'],
  ['no published value (derived)', 'ningún valor publicado (derivado)'],
  ['derived', 'derivado'],
  [
    'derived vectors (95 mm in 15 s = 380 mm/min; 25 in in 6 s = 250 in/min) and error budgets',
    'vectores derivados (95 mm en 15 s = 380 mm/min; 25 in en 6 s = 250 in/min) y balances de error',
  ],
  [
    'turns back into the uncertainty it was asked for (derived)',
    'devuelve la incertidumbre que se pidió (derivado)',
  ],
  ['worked by hand (derived)', 'hecho a mano (derivado)'],
  [
    'five published worked examples (29 V, 325 A, 12.5 in/min = 45.24 kJ/in and others)',
    'cinco ejemplos resueltos publicados (29 V, 325 A, 12.5 in/min = 45.24 kJ/in y otros)',
  ],
  [
    'the printed QW-409.1(c) form; closed-form waveforms (derived)',
    'la forma impresa de QW-409.1(c); formas de onda cerradas (derivado)',
  ],
  [
    'the printed QW-409.1(b) form; agrees with the deposit area of the example points',
    'la forma impresa de QW-409.1(b); concuerda con el área de depósito de los puntos de ejemplo',
  ],
  [
    'the published table of k; within 0.14 of calorimeter values (Welding Journal 1995)',
    'la tabla publicada de k; a menos de 0.14 de valores de calorímetro (Welding Journal 1995)',
  ],
  [
    'the half-circumference times of the example points (derived)',
    'los tiempos de media circunferencia de los puntos de ejemplo (derivado)',
  ],
  ['60 m of 95 mm² at 250 A = 2.8 V (derived)', '60 m de 95 mm² a 250 A = 2.8 V (derivado)'],
  ['an examination problem (answer derived)', 'un problema de examen (respuesta derivada)'],
  [
    'a textbook table (from memory) and an examination problem (answer derived)',
    'una tabla de manual (de memoria) y un problema de examen (respuesta derivada)',
  ],
  [
    'geometry: one millimetre, one hour of the clock and the quarter points (derived)',
    'geometría: un milímetro, una hora del reloj y los cuartos (derivado)',
  ],
  [
    'a band 20 mm off the surface on three diameters (derived)',
    'una banda a 20 mm de la superficie en tres diámetros (derivado)',
  ],
  ['geometry (derived)', 'geometría (derivado)'],
  ['the example points, to 1 % (derived)', 'los puntos de ejemplo, al 1 % (derivado)'],
  [
    'MIG welding handbook table of wire length per mass (± 1.5 %)',
    'tabla de longitud de alambre por masa de un manual de soldadura MIG (± 1.5 %)',
  ],
  [
    'handbook formula and table; a published 7.96 lb/h example',
    'fórmula y tabla de manual; un ejemplo publicado de 7.96 lb/h',
  ],
  ['95 g in 60 s = 5.7 kg/h (published)', '95 g en 60 s = 5.7 kg/h (publicado)'],
  ['1/2 in fillet = 0.424 lb/ft (published)', 'ángulo de 1/2 in = 0.424 lb/ft (publicado)'],
  [
    'MIG welding handbook table of wire length per mass (± 1.5 %); spool arithmetic derived',
    'tabla de longitud de alambre por masa de un manual de soldadura MIG (± 1.5 %); aritmética del carrete derivada',
  ],
  [
    'the example points, to 1 % (derived); coefficients from memory',
    'los puntos de ejemplo, al 1 % (derivado); coeficientes de memoria',
  ],
  ['fault signatures at 236 A, 12 mm (derived)', 'señales de fallo a 236 A, 12 mm (derivado)'],
  [
    'the example bevel at five wall thicknesses, to 1 % (derived)',
    'el bisel de ejemplo con cinco espesores, al 1 % (derivado)',
  ],
  ['the closed form (derived)', 'la forma cerrada (derivado)'],
  [
    'the closed form of arc and bevel, to 0.01 % (derived)',
    'la forma cerrada de arco y bisel, al 0.01 % (derivado)',
  ],
  [
    'the printed formulas; six sets of a public worked example (answers derived)',
    'las fórmulas impresas; seis juegos de un ejemplo resuelto público (respuestas derivadas)',
  ],
  ['the printed formula, element by element', 'la fórmula impresa, elemento por elemento'],
  ['a published worked sheet (0.5078)', 'una hoja resuelta publicada (0.5078)'],
  [
    'the printed formula and its four parts; two worked examples (answers derived)',
    'la fórmula impresa y sus cuatro partes; dos ejemplos resueltos (respuestas derivadas)',
  ],
  [
    'Lucas & Crosier 1982 Table 1; Vance 1986; printed eight-digit values; simulation',
    'Lucas & Crosier 1982, tabla 1; Vance 1986; valores impresos de ocho cifras; simulación',
  ],
  [
    'Lucas & Saccucci 1990 Table 3; Crowder 1987 Table 1; a printed eleven-digit value; simulation',
    'Lucas & Saccucci 1990, tabla 3; Crowder 1987, tabla 1; un valor impreso de once cifras; simulación',
  ],
  [
    'forty measured automatic welds (Johnson & Wichern Example 5.11)',
    'cuarenta soldaduras automáticas medidas (Johnson & Wichern, ejemplo 5.11)',
  ],
];
