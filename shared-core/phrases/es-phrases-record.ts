import type { Phrase } from './phrase-book.ts';

/** Spanish: what stands against the record of a joint, its passes and what was judged of them. */
export const RECORD_PHRASES: readonly Phrase[] = [
  [
    'Joint {} was never opened: its particulars are not known.',
    'La junta {1} nunca se abrió: no se conocen sus datos.',
  ],
  ['Open the joint and enter its particulars.', 'Abra la junta y anote sus datos.'],
  [
    'Joint number {} is used twice: opened {} by {} and again {} by {}.',
    'El número de junta {1} se usa dos veces: abierta {2} por {3} y otra vez {4} por {5}.',
  ],
  [
    'Give one of them another number and move its passes.',
    'Dé a una de ellas otro número y mueva sus pases.',
  ],
  ['{}, side {}, is missing though {} is there.', 'Falta {1}, lado {2}, aunque está {3}.'],
  [
    'Move a pass that was recorded elsewhere, or enter who welded it and how.',
    'Mueva un pase que se registró en otro lugar, o anote quién lo soldó y cómo.',
  ],
  [
    '{}, side {}, began {}, before {} at {}, which the WPS puts first.',
    '{1}, lado {2}, empezó {3}, antes de {4} a las {5}, que el WPS pone primero.',
  ],
  [
    'Check the joint number, the pass and the clocks of the rigs; move what stands wrong.',
    'Revise el número de junta, el pase y los relojes de los equipos; mueva lo que esté mal.',
  ],
  [
    'A pass was recorded {} under joint {}, which was cut out {} by {}: its number is retired.',
    'Se registró un pase {1} con la junta {2}, que fue cortada {3} por {4}: su número está retirado.',
  ],
  ['Move the pass to the joint that it is.', 'Mueva el pase a la junta que es.'],
  [
    '{}, side {}, is recorded twice: {} and {}. Is the joint number used again?',
    '{1}, lado {2}, está registrado dos veces: {3} y {4}. ¿Se usó otra vez el número de junta?',
  ],
  ['Move the pass that belongs elsewhere.', 'Mueva el pase que pertenece a otro lugar.'],
  ['A pass recorded {} on {}/{} names no pass.', 'Un pase registrado {1} en {2}/{3} no nombra ningún pase.'],
  [
    'A pass recorded {} on {}/{} is {}, which the WPS does not have.',
    'Un pase registrado {1} en {2}/{3} es {4}, que el WPS no tiene.',
  ],
  ['Move it to the pass it is.', 'Muévalo al pase que es.'],
  ['Joint {} is on hold since {}, by {}: {}', 'La junta {1} está retenida desde {2}, por {3}: {4}'],
  ['no reason given', 'sin motivo indicado'],
  ['Weld another joint, or have the hold lifted.', 'Suelde otra junta, o haga que se quite la retención.'],
  [
    'Joint {} was cut out {} by {}: its number is retired and never used again.',
    'La junta {1} fue cortada {2} por {3}: su número está retirado y nunca se usa otra vez.',
  ],
  [
    'Check the joint number; a new weld has a number of its own.',
    'Revise el número de junta; una soldadura nueva tiene un número propio.',
  ],
  [
    '{}, side {}, of joint {} is done already ({}): is the number used twice, or was the joint cut out? A number is never used again.',
    '{1}, lado {2}, de la junta {3} ya está hecho ({4}): ¿se usa el número dos veces, o se cortó la junta? Un número nunca se usa otra vez.',
  ],
  ['Check the joint number and the pass.', 'Revise el número de junta y el pase.'],
  [
    '{}, side {}, would come before {}, which is still open there.',
    '{1}, lado {2}, iría antes de {3}, que ahí sigue abierto.',
  ],
  [
    '{}, side {}, would come before {}, which is not recorded there.',
    '{1}, lado {2}, iría antes de {3}, que ahí no está registrado.',
  ],
  [
    'Weld {} first; if it was welded unseen, enter by whom and how.',
    'Suelde primero {1}; si se soldó sin registrar, anote quién y cómo.',
  ],
  ['{} was not released by {}.', '{1} no fue liberado por {2}.'],
  ['{} was not released by {}: {}', '{1} no fue liberado por {2}: {3}'],
  ['Mend {} and have it released before {}.', 'Corrija {1} y haga que se libere antes de {2}.'],
  ['{} has no visual release, and {} covers it.', '{1} no tiene liberación visual, y {2} lo cubre.'],
  ['Examine {} and enter the release.', 'Examine {1} y anote la liberación.'],
  ['No wire lot is entered for joint {}.', 'No hay lote de alambre anotado para la junta {1}.'],
  ['No gas lot is entered for joint {}.', 'No hay lote de gas anotado para la junta {1}.'],
  ['The polarity is not confirmed for joint {}.', 'La polaridad no está confirmada para la junta {1}.'],
  ['Look at the leads and confirm the polarity.', 'Mire los cables y confirme la polaridad.'],
  ['The polarity confirmed is {}; {} asks for {}.', 'La polaridad confirmada es {1}; {2} pide {3}.'],
  [
    'A qualified person changes the leads; then confirm again.',
    'Una persona cualificada cambia los cables; después confirme otra vez.',
  ],
  ['electrode positive', 'electrodo positivo'],
  ['electrode negative', 'electrodo negativo'],

  // Reasons of a pass and its verdicts.
  ['the assigned procedure revision has not arrived', 'la revisión asignada del procedimiento no ha llegado'],
  [
    'the assigned procedure revision had not arrived',
    'la revisión asignada del procedimiento no había llegado',
  ],
  [
    'nothing was assigned: the pass is recorded and not judged',
    'no había nada asignado: el pase se registra y no se evalúa',
  ],
  [
    'the carriage did not move: there is no length to divide by',
    'el carro no se movió: no hay longitud por la que dividir',
  ],
  [
    'travel counts backwards (in a recording, map it with "scale": -1): there is no length to divide by',
    'el avance cuenta hacia atrás (en una grabación, asígnelo con "scale": -1): no hay longitud por la que dividir',
  ],
  [
    'no wire diameter is given: length is known, mass is not',
    'no se da diámetro de alambre: se conoce la longitud, no la masa',
  ],
  [
    'power was missing for {} s: energy is from current × voltage',
    'faltó la potencia durante {1} s: la energía es de corriente × tensión',
  ],
  [
    'the procedure is waveform controlled and the source gives mean values only: energy is not judged',
    'el procedimiento usa control de forma de onda y la fuente solo da medias: la energía no se evalúa',
  ],
  [
    'the procedure is waveform controlled and the source gives mean values only',
    'el procedimiento usa control de forma de onda y la fuente solo da medias',
  ],
  [
    '{} s inside the arc came in no frame and is not integrated',
    '{1} s dentro del arco no llegaron en ninguna trama y no se integran',
  ],
  ['{} s between start and end were not observed', '{1} s entre inicio y fin no se observaron'],
  ['continues pass {}, which had been closed', 'continúa el pase {1}, que se había cerrado'],
  ['the source gives no {}', 'la fuente no da {1}'],
  [
    '{} was unknown for {} s of {} s: left out of its totals',
    '{1} no se conoció durante {2} s de {3} s: queda fuera de sus totales',
  ],
  [
    '{} was unknown for {} s of {} s: too much for its totals',
    '{1} no se conoció durante {2} s de {3} s: demasiado para sus totales',
  ],
  ['the procedure gives no range for it', 'el procedimiento no le da rango'],
  ['it is not measured on the stream: enter a reading', 'no se mide en línea: anote una lectura'],
  [
    'the limit holds in a clock zone and no side is assigned',
    'el límite vale en una zona del reloj y no hay lado asignado',
  ],
  ['the value is unknown: see the reasons of the pass', 'el valor no se conoce: vea los motivos del pase'],
  ['no window of weld length has this value', 'ninguna ventana de soldadura tiene este valor'],
  ['less than {} mm was welded without a stop', 'se soldaron menos de {1} mm sin parar'],
  ['the source gives no travel', 'la fuente no da avance'],
  [
    'not compared with the other passes of the procedure: {}',
    'no comparado con los demás pases del procedimiento: {1}',
  ],
  ['only {} mm of the first {} mm was observed', 'solo se observaron {1} mm de los primeros {2} mm'],
  [
    'the wire feed was not known where travel started',
    'no se conocía la velocidad de alambre donde empezó el avance',
  ],
  [
    'the procedure gives no wire feed or no travel for {} here',
    'el procedimiento no da aquí velocidad de alambre o de avance para {1}',
  ],
  [
    'the procedure gives no other pass with wire feed and travel here',
    'el procedimiento no da aquí otro pase con velocidad de alambre y de avance',
  ],
  [
    'the edge stopped during this pass: the values are those of its last summary, not of its end',
    'la unidad de captura se detuvo durante este pase: los valores son los de su último resumen, no los de su fin',
  ],
  [
    'Neither its assignment nor the WPS gives an outside diameter: it cannot be judged again.',
    'Ni su asignación ni el WPS dan un diámetro exterior: no se puede evaluar otra vez.',
  ],
  [
    'Samples are missing inside the pass; what is there was judged.',
    'Faltan muestras dentro del pase; se evaluó lo que hay.',
  ],
  [
    'Energy is from mean values of a waveform-controlled source and is not judged.',
    'La energía es de medias de una fuente con control de forma de onda y no se evalúa.',
  ],
  [
    'Positions are counted from 12 o’clock: the record does not say where the pass began.',
    'Las posiciones se cuentan desde las 12: el registro no dice dónde empezó el pase.',
  ],
  [
    'No samples of the pass are stored here: it cannot be judged again.',
    'Aquí no hay guardadas muestras del pase: no se puede evaluar otra vez.',
  ],
  [
    'The stored samples show no arc: it cannot be judged again.',
    'Las muestras guardadas no muestran arco: no se puede evaluar otra vez.',
  ],
  [
    'Nothing is assigned, so no place on the joint is known.',
    'No hay nada asignado, así que no se conoce ningún lugar en la junta.',
  ],
  [
    'Samples are missing inside the pass: windows stand for what is there.',
    'Faltan muestras dentro del pase: las ventanas representan lo que hay.',
  ],

  ['{}: not below {}, not above {} (window)', '{1}: no por debajo de {2}, no por encima de {3} (ventana)'],
  ['{}: not below {}, not above {} (pass)', '{1}: no por debajo de {2}, no por encima de {3} (pase)'],
  [
    '{}: not below {}, not above {} (instant)',
    '{1}: no por debajo de {2}, no por encima de {3} (media de 1 s)',
  ],
  ['{}: not below {} (window)', '{1}: no por debajo de {2} (ventana)'],
  ['{}: not below {} (pass)', '{1}: no por debajo de {2} (pase)'],
  ['{}: not below {} (instant)', '{1}: no por debajo de {2} (media de 1 s)'],
  ['{}: not above {} (window)', '{1}: no por encima de {2} (ventana)'],
  ['{}: not above {} (pass)', '{1}: no por encima de {2} (pase)'],
  ['{}: not above {} (instant)', '{1}: no por encima de {2} (media de 1 s)'],
  ['the run-out length of a side is not known', 'no se conoce la longitud soldada de un lado'],
  ['no outside diameter is given', 'no se da diámetro exterior'],
  ['the WPS gives no overlap: counted as 0', 'el WPS no da solape: se cuenta como 0'],
  [
    'no uncertainty of travel is entered: not judged',
    'no hay anotada incertidumbre del avance: no se evalúa',
  ],
  [
    'its edge did not follow changes along the weld.',
    'su unidad de captura no seguía cambios a lo largo de la soldadura.',
  ],
  [
    'nothing was assigned, or its WPS revision is not stored here.',
    'no había nada asignado, o su revisión del WPS no está guardada aquí.',
  ],
  ['{} left out: {}', '{1} fuera: {2}'],

  // Events.
  ['{} out of range.', '{1} fuera de rango.'],
  ['{} no longer out of range.', '{1} ya no está fuera de rango.'],
  ['Looks like {}, not {}: {}.', 'Parece {1}, no {2}: {3}.'],
  ['No longer looks like {}: {}.', 'Ya no parece {1}: {2}.'],
  ['feed {} m/min, travel {} mm/s', 'alambre {1} m/min, avance {2} mm/s'],
  ['No samples for {} s.', 'Sin muestras durante {1} s.'],
  [
    'Current and voltage repeated one reading for {} s: taken as no data.',
    'Corriente y tensión repitieron una lectura durante {1} s: se toma como sin datos.',
  ],
  [
    'assigned: joint {}, side {}, pass {}, procedure {} revision {}',
    'asignado: junta {1}, lado {2}, pase {3}, procedimiento {4} revisión {5}',
  ],
  ['nothing is assigned any more', 'ya no hay nada asignado'],

  // One shift.
  [
    'its procedure is not known: whether it is complete cannot be said',
    'no se conoce su procedimiento: no se puede decir si está completa',
  ],
  ['{} still open', '{1} aún abierto'],
  ['{} A and B', '{1} A y B'],
  ['no pass is recorded in this shift', 'en este turno no hay registrado ningún pase'],
  ['no wire feed is measured', 'no se mide la velocidad de alambre'],
  ['no gas flow is measured', 'no se mide el caudal de gas'],
  ['wire feed was unknown for too long', 'la velocidad de alambre no se conoció durante demasiado tiempo'],
  ['gas flow was unknown for too long', 'el caudal de gas no se conoció durante demasiado tiempo'],
  ['no change of spool is entered', 'no hay anotado ningún cambio de carrete'],
  [
    'the change of spool does not say how much wire was on it',
    'el cambio de carrete no dice cuánto alambre tenía',
  ],
  ['one pass', 'un pase'],
  ['{} passes', '{1} pases'],
  ['the wire of {} since is not known: {}', 'no se conoce el alambre de {1} desde entonces: {2}'],
  [
    'more wire was fed than was put on: a change of spool is not entered',
    'salió más alambre del que se puso: falta anotar un cambio de carrete',
  ],
  [
    'the log of alarms begins {}, after this shift',
    'el diario de alarmas empieza {1}, después de este turno',
  ],
];
