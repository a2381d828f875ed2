import { SIGN_WORDS } from './es-phrases-signs.ts';
import type { Phrase } from './phrase-book.ts';

/** Spanish: changes along the weld, and what they look like. */
export const DRIFT_PHRASES: readonly Phrase[] = [
  ...SIGN_WORDS,
  ['Wire feed speed', 'Velocidad de alambre'],
  ['Travel speed', 'Velocidad de avance'],
  ['Restlessness of the current', 'Inquietud de la corriente'],
  ['Restlessness of the voltage', 'Inquietud de la tensión'],
  ['Oscillation width', 'Anchura de oscilación'],
  ['Oscillation frequency', 'Frecuencia de oscilación'],
  ['an unknown place', 'un lugar desconocido'],
  ['{} mm, {} o’clock ({})', '{1} mm, posición horaria {2} ({3})'],
  ['{} mm ({})', '{1} mm ({2})'],
  ['{} mm, {} o’clock', '{1} mm, posición horaria {2}'],
  [
    'The channels together are unlike this rig’s good welds from {}, most of all {}.',
    'Los canales en conjunto no son como en las soldaduras buenas de este equipo desde {1}, sobre todo {2}.',
  ],
  ['A change from {}.', 'Un cambio desde {1}.'],
  [
    '{} trimmed from {} to {} at {}; deposit area {} %.',
    '{1} ajustada de {2} a {3} en {4}; área de depósito {5} %.',
  ],
  ['{} trimmed from {} to {} at {}.', '{1} ajustada de {2} a {3} en {4}.'],
  [
    '{} trimmed from {} to {} at {} mm; deposit area {} %.',
    '{1} ajustada de {2} a {3} en {4} mm; área de depósito {5} %.',
  ],
  ['{} trimmed at {}.', '{1} ajustada en {2}.'],
  [
    '{} is on its way to the upper limit of {} and meets it at {} mm, before the pass ends, if it goes on like this.',
    '{1} va camino del límite superior de {2} y lo alcanza a {3} mm, antes de que termine el pase, si sigue así.',
  ],
  [
    '{} is on its way to the lower limit of {} and meets it at {} mm, before the pass ends, if it goes on like this.',
    '{1} va camino del límite inferior de {2} y lo alcanza a {3} mm, antes de que termine el pase, si sigue así.',
  ],
  [
    '{} is on its way to the upper limit of {} and meets it, before the pass ends, if it goes on like this.',
    '{1} va camino del límite superior de {2} y lo alcanza antes de que termine el pase, si sigue así.',
  ],
  [
    '{} is on its way to the lower limit of {} and meets it, before the pass ends, if it goes on like this.',
    '{1} va camino del límite inferior de {2} y lo alcanza antes de que termine el pase, si sigue así.',
  ],
  ...(
    [
      ['Welding current', 'Corriente de soldadura'],
      ['Arc voltage', 'Tensión de arco'],
      ['Wire feed speed', 'Velocidad de alambre'],
      ['Travel speed', 'Velocidad de avance'],
      ['Gas flow', 'Caudal de gas'],
      ['Restlessness of the current', 'Inquietud de la corriente'],
      ['Restlessness of the voltage', 'Inquietud de la tensión'],
      ['Oscillation width', 'Anchura de oscilación'],
      ['Oscillation frequency', 'Frecuencia de oscilación'],
    ] as const
  ).flatMap(([english, other]): Phrase[] => [
    [
      `${english} {} below this rig’s good welds ({} σ), from {} on.`,
      `${other}: {1} por debajo de las soldaduras buenas de este equipo ({2} σ), desde {3}.`,
    ],
    [
      `${english} {} above this rig’s good welds ({} σ), from {} on.`,
      `${other}: {1} por encima de las soldaduras buenas de este equipo ({2} σ), desde {3}.`,
    ],
    ...(
      [
        ['falling', 'bajando'],
        ['rising', 'subiendo'],
        ['down', 'más baja'],
        ['up', 'más alta'],
      ] as const
    ).flatMap(([way, otherWay]): Phrase[] => [
      [`${english} ${way} by {} ({} σ) since {}.`, `${other}, ${otherWay}: {1} ({2} σ) desde {3}.`],
      [`${english} ${way} by {} since {}.`, `${other}, ${otherWay}: {1} desde {2}.`],
      [`${english} ${way} since {}.`, `${other}, ${otherWay} desde {1}.`],
    ]),
  ]),
  [
    'The channels together are as on good welds again since {} (change {}).',
    'Los canales en conjunto vuelven a ser como en soldaduras buenas desde {1} (cambio {2}).',
  ],
  [
    '{} is no longer on its way to a limit since {} (change {}).',
    '{1} ya no va camino de un límite desde {2} (cambio {3}).',
  ],
  ['{} is back since {} (change {}).', '{1} ha vuelto desde {2} (cambio {3}).'],

  [
    'all along it runs unlike the good passes before it',
    'todo él es distinto de los pases buenos anteriores',
  ],
  ['a change along the weld was called', 'se avisó de un cambio a lo largo de la soldadura'],
  ['too much of it was not observed', 'demasiado de él no se observó'],
  ['fewer than {} whole windows of weld', 'menos de {1} ventanas completas de soldadura'],
  ['no whole window of weld was travelled', 'no se recorrió ninguna ventana completa de soldadura'],
  ['the source does not give it', 'la fuente no lo da'],
  [
    'this rig has too few good passes of this kind, and the procedure gives no range for it',
    'este equipo tiene muy pocos pases buenos de este tipo, y el procedimiento no le da rango',
  ],
  ['it is not known where the pass ends', 'no se sabe dónde termina el pase'],
  [
    'this rig has too few good passes of this kind to know how its channels go together',
    'este equipo tiene muy pocos pases buenos de este tipo para saber cómo van juntos sus canales',
  ],
  [
    '{} mm of weld were not judged: a stop, a drop-out, a gap or held values',
    '{1} mm de soldadura no se evaluaron: una parada, un corte, un hueco o valores repetidos',
  ],
];
