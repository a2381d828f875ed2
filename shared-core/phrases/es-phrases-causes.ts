import type { Phrase } from './phrase-book.ts';

/** What stands after a size: for how long, and how it came. */
const HOW_LONG: readonly (readonly [string, string])[] = [
  [', growing for {} mm', ', creciendo a lo largo de {} mm'],
  [', for {} mm', ', a lo largo de {} mm'],
  [', growing', ', creciendo'],
  [', at once', ', de golpe'],
];

/** One phrase for each way of saying how long: the duration stands between what was seen and what it is like. */
function withDuration(before: string, after: string, otherBefore: string, otherAfter: string): Phrase[] {
  const first = before.split('{}').length - 1;
  return HOW_LONG.map(([english, other]) => {
    const values = english.includes('{}') ? 1 : 0;
    const later = otherAfter.replace(/\{(\d)\}/g, (_, n: string) => `{${Number(n) + values}}`);
    return [
      `${before}${english}${after}`,
      `${otherBefore}${other.replace('{}', `{${first + 1}}`)}${later}`,
    ] as const;
  });
}

/** What is seen of a current, with its size: against good welds, or against the burn-off line. */
const CURRENT_SEEN: readonly (readonly [string, string])[] = [
  ['Current {} lower than on good welds', 'Corriente {1} menor que en soldaduras buenas'],
  ['Current {} higher than on good welds', 'Corriente {1} mayor que en soldaduras buenas'],
  [
    'Current {} below the burn-off line at the feed read',
    'Corriente {1} por debajo de la línea de fusión para el alambre leído',
  ],
  [
    'Current {} above the burn-off line at the feed read',
    'Corriente {1} por encima de la línea de fusión para el alambre leído',
  ],
];

/** Spanish: what a change along the weld looks like, and what speaks for it and against it. */
export const CAUSE_PHRASES: readonly Phrase[] = [
  ['wrong pass', 'pase equivocado'],
  ['stick-out longer', 'extensión más larga'],
  ['stick-out shorter', 'extensión más corta'],
  ['wire slip, feed read at the motor', 'patinaje del alambre, alambre leído en el motor'],
  ['wire slip, feed read on the wire', 'patinaje del alambre, leído en el alambre'],
  ['wire feed set otherwise', 'velocidad de alambre ajustada de otro modo'],
  ['worn contact tip', 'punta de contacto gastada'],
  ['gas lost or draught', 'pérdida de gas o corriente de aire'],
  ['bad earth or joint in a lead', 'mala masa o mala unión en un cable'],
  ['voltage set otherwise', 'tensión ajustada de otro modo'],
  ['travel set otherwise or slipping', 'avance ajustado de otro modo o patinaje'],
  ['wrong wire size', 'diámetro de alambre equivocado'],
  ['one sensor drifts', 'un sensor deriva'],

  ...CURRENT_SEEN.flatMap(([english, other]) => [
    ...withDuration(english, ': like a longer stick-out.', other, ': como una extensión más larga.'),
    ...withDuration(english, ': like a shorter stick-out.', other, ': como una extensión más corta.'),
    ...withDuration(
      english,
      ': like a stick-out about {} mm longer.',
      other,
      ': como una extensión unos {2} mm más larga.',
    ),
    ...withDuration(
      english,
      ': like a stick-out about {} mm shorter.',
      other,
      ': como una extensión unos {2} mm más corta.',
    ),
    ...withDuration(
      english,
      ': like wire slipping {} at the rolls.',
      other,
      ': como un alambre que patina {2} en los rodillos.',
    ),
    ...withDuration(
      `${english} and the arc restless`,
      ': like a worn contact tip.',
      `${other} y el arco inquieto`,
      ': como una punta de contacto gastada.',
    ),
    ...withDuration(
      english,
      ': {} mm wire instead of {} mm would give {} less.',
      other,
      ': un alambre de {2} mm en vez de {3} mm daría {4} menos.',
    ),
    ...withDuration(
      english,
      ': {} mm wire instead of {} mm would give {} more.',
      other,
      ': un alambre de {2} mm en vez de {3} mm daría {4} más.',
    ),
  ]),
  ...(
    [
      ['low', 'baja'],
      ['high', 'alta'],
    ] as const
  ).flatMap(([way, otherWay]) =>
    (
      [
        ['', ''],
        [', current {} lower', ', corriente {2} menor'],
        [', current {} higher', ', corriente {2} mayor'],
      ] as const
    ).flatMap(([follows, otherFollows]) => [
      ...withDuration(
        `Wire feed {} ${way}${follows}`,
        ': like a feed set or driven otherwise.',
        `Velocidad de alambre {1} más ${otherWay}${otherFollows}`,
        ': como un alambre ajustado o movido de otro modo.',
      ),
      ...withDuration(
        `Wire feed {} ${way}${follows}`,
        ': like wire slipping at the rolls.',
        `Velocidad de alambre {1} más ${otherWay}${otherFollows}`,
        ': como un alambre que patina en los rodillos.',
      ),
    ]),
  ),
  [
    'Feed is read at the motor, so {} cannot be told apart.',
    'El alambre se lee en el motor, así que no se distingue de {1}.',
  ],
  [
    'Where feed is read is not told, so {} cannot be told apart.',
    'No se dice dónde se lee el alambre, así que no se distingue de {1}.',
  ],
  ['wire slip at the rolls', 'patinaje del alambre en los rodillos'],
  ['a longer stick-out', 'una extensión más larga'],
  [
    'How much cannot be said without wire feed and wire diameter.',
    'No se puede decir cuánto sin velocidad y diámetro de alambre.',
  ],
  [
    'How much cannot be said: the procedure gives no tip distance.',
    'No se puede decir cuánto: el procedimiento no da distancia de la punta.',
  ],
  ['Layer height or spool weight would tell.', 'Lo diría la altura de la capa o el peso del carrete.'],
  ['A feed set lower would look the same.', 'Un alambre ajustado más bajo se vería igual.'],
  [
    'Wire slip, where feed is read on the wire, would look the same.',
    'Un patinaje del alambre, leído en el alambre, se vería igual.',
  ],
  [
    'Only where feed is read on the wire, which is not told.',
    'Solo donde se lee en el alambre, lo que no se dice.',
  ],
  [
    'the tip would be {} mm from the work, which is out of reach',
    'la punta estaría a {1} mm de la pieza, lo que no es posible',
  ],
  ['it came at once', 'vino de golpe'],
  ['it grows slowly', 'crece despacio'],
  ['there from the start of the pass ({} mm)', 'está desde el inicio del pase ({1} mm)'],
  ['not there in the first {} mm of the pass', 'no estaba en los primeros {1} mm del pase'],
  [
    'a constant-voltage source gives more for less current',
    'una fuente de tensión constante da más con menos corriente',
  ],
  [
    'a constant-voltage source gives less for more current',
    'una fuente de tensión constante da menos con más corriente',
  ],
  ['a constant-voltage source follows the current', 'una fuente de tensión constante sigue a la corriente'],
  ['a worn tip wanders', 'una punta gastada baila'],
  ['{} drop-outs of the arc', '{1} cortes del arco'],
  ['{} m welded since the tip change', '{1} m soldados desde el cambio de punta'],
  ['more than worn tips usually take (2–8 %)', 'más de lo que suelen quitar las puntas gastadas (2–8 %)'],
  [
    'Wire feed and travel are nearer to {} than to the assigned pass.',
    'Alambre y avance están más cerca de {1} que del pase asignado.',
  ],
  ...withDuration(
    '{} changed together',
    ': like the set of another pass.',
    '{1} cambiaron a la vez',
    ': como el ajuste de otro pase.',
  ),
  [
    'feed and travel compared with the procedure: likelier {}',
    'alambre y avance comparados con el procedimiento: más probable {1}',
  ],
  ['moved together: {}', 'se movieron a la vez: {1}'],
  ['another pass', 'otro pase'],
  ...withDuration(
    'Gas flow {} low',
    ': like shielding gas lost.',
    'Caudal de gas {1} más bajo',
    ': como pérdida de gas de protección.',
  ),
  ...withDuration(
    'Arc restless',
    ': like gas lost at the nozzle or a draught.',
    'Arco inquieto',
    ': como pérdida de gas en la boquilla o una corriente de aire.',
  ),
  ['Gas flow is not measured.', 'El caudal de gas no se mide.'],
  [
    'The flow meter shows nothing: a draught does that too.',
    'El caudalímetro no muestra nada: una corriente de aire también lo hace.',
  ],
  ['an arc without its gas is restless', 'un arco sin su gas está inquieto'],
  ...(
    [
      ['low', 'más baja'],
      ['high', 'más alta'],
    ] as const
  ).flatMap(([way, otherWay]) =>
    (
      [
        ['', ''],
        [' and the current where the feed puts it', ' y la corriente donde la pone el alambre'],
      ] as const
    ).flatMap(([steady, otherSteady]) => [
      ...withDuration(
        `Voltage {} V ${way}${steady}`,
        ': like a bad earth or joint in a lead.',
        `Tensión {1} V ${otherWay}${otherSteady}`,
        ': como una mala masa o unión en un cable.',
      ),
      ...withDuration(
        `Voltage {} V ${way}${steady}`,
        ': like about {} mΩ more in the earth or a lead.',
        `Tensión {1} V ${otherWay}${otherSteady}`,
        ': como unos {2} mΩ más en la masa o un cable.',
      ),
      ...withDuration(
        `Voltage {} V ${way}${steady}`,
        ': like a source set or giving otherwise.',
        `Tensión {1} V ${otherWay}${otherSteady}`,
        ': como una fuente ajustada o que da de otro modo.',
      ),
    ]),
  ),
  [
    'A source set lower or a voltage that reads low would look the same.',
    'Una fuente ajustada más baja o una tensión que lee de menos se vería igual.',
  ],
  [
    'A bad earth or a voltage that reads low would look the same.',
    'Una mala masa o una tensión que lee de menos se vería igual.',
  ],
  [
    'Only where voltage is measured at the arc, which is not told.',
    'Solo donde la tensión se mide en el arco, lo que no se dice.',
  ],
  ['a loose joint is restless', 'una unión floja está inquieta'],
  ...(
    [
      ['slow', 'más lento'],
      ['fast', 'más rápido'],
    ] as const
  ).flatMap(([way, otherWay]) =>
    withDuration(
      `Travel {} ${way}`,
      ': like travel set otherwise, or a carriage that drags or slips.',
      `Avance {1} ${otherWay}`,
      ': como un avance ajustado de otro modo, o un carro que se frena o patina.',
    ),
  ),
  [
    'Slip that the encoder does not see has no sign here: closure at 6 o’clock would tell.',
    'Un patinaje que el encóder no ve no deja señal aquí: lo diría el cierre a las 6.',
  ],
  ...(
    [
      ['low', 'de menos'],
      ['high', 'de más'],
    ] as const
  ).flatMap(([way, otherWay]) =>
    withDuration(
      `Only {} is off, {} ${way}`,
      ': like its sensor reading wrong.',
      `Solo {1} está desviado, {2} ${otherWay}`,
      ': como su sensor leyendo mal.',
    ),
  ),
  ['A reference meter would tell.', 'Lo diría un medidor de referencia.'],
  ['the current did not follow the feed', 'la corriente no siguió al alambre'],
  [
    'a wrong reading would fit any one channel that moves alone',
    'una lectura equivocada encajaría con cualquier canal que se mueva solo',
  ],
];
