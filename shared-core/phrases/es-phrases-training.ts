import type { Phrase } from './phrase-book.ts';

/** Spanish: lessons, and why a step of a lesson was not taken. */
export const TRAINING_PHRASES: readonly Phrase[] = [
  [
    'The simulator does not answer within {} s: see whether it still runs.',
    'El simulador no responde en {1} s: mire si sigue en marcha.',
  ],
  [
    'The simulator cannot be reached: see whether it runs (girthlog-simulator train).',
    'No se puede alcanzar el simulador: mire si está en marcha (girthlog-simulator train).',
  ],
  [
    'The simulator does not know this dashboard: both need the same token.',
    'El simulador no conoce este panel: ambos necesitan la misma contraseña de programa.',
  ],
  ['The simulator refused this ({}).', 'El simulador lo rechazó ({1}).'],
  ['The lesson never began.', 'La lección nunca empezó.'],
  [
    'The lesson ran at another speed than ×1: times to see something would mean nothing.',
    'La lección corrió a otra velocidad que ×1: los tiempos para ver algo no significarían nada.',
  ],
  ['No rig {} welds side {} in this lesson.', 'Ningún equipo {1} suelda el lado {2} en esta lección.'],
  ['A session holds at most {} marks.', 'Una sesión tiene como mucho {1} marcas.'],
  ['A session holds at most {} notes.', 'Una sesión tiene como mucho {1} notas.'],
  [
    'The trainee has rated themselves already: it stays as it is.',
    'El alumno ya se valoró: queda como está.',
  ],
  [
    'First the trainee rates themselves, 1 to 5; then the score is shown.',
    'Primero el alumno se valora, de 1 a 5; después se muestra la puntuación.',
  ],
  ['This session {}: {}.', 'Esta sesión {1}: {2}.'],
  ['is ready and has not begun', 'está lista y no ha empezado'],
  ['is running', 'está en marcha'],
  ['is frozen', 'está detenida'],
  ['has ended', 'ha terminado'],
  ['it cannot begin now', 'ahora no puede empezar'],
  ['it can only be frozen while it runs', 'solo se puede detener mientras corre'],
  ['only a frozen lesson goes on', 'solo sigue una lección detenida'],
  ['its speed can be changed while it runs', 'su velocidad se cambia mientras corre'],
  ['a fault is put in while it runs', 'un fallo se pone mientras corre'],
  ['it cannot end again', 'no puede terminar otra vez'],
  [
    'marks count from the start to the end of the lesson',
    'las marcas cuentan desde el inicio hasta el fin de la lección',
  ],
  ['the trainee rates themselves after the end', 'el alumno se valora después del fin'],
  ['the debrief comes after the end', 'el repaso viene después del fin'],
  ['end it first, then delete it', 'termínela primero y bórrela después'],
  [
    'That is not the key of the trainer: use the link you were given.',
    'Esa no es la clave del instructor: use el enlace que se le dio.',
  ],
  [
    'Only the trainer may do this: use the link you were given.',
    'Solo el instructor puede hacerlo: use el enlace que se le dio.',
  ],
  [
    'There is no such training session here, or no longer.',
    'Aquí no hay tal sesión de formación, o ya no la hay.',
  ],
  [
    'The session of {} has not ended: end it first, then open another.',
    'La sesión de {1} no ha terminado: termínela primero y abra otra después.',
  ],
  ['The simulator opened no lesson: see its log.', 'El simulador no abrió ninguna lección: mire su diario.'],
  ['The simulator could not be asked at the end: {}', 'No se pudo preguntar al simulador al final: {1}'],
  [
    'The simulator began anew while the lesson ran.',
    'El simulador empezó de nuevo mientras corría la lección.',
  ],
  [
    'The simulated joints, passes and samples of the lesson: they name neither trainee nor trainer.',
    'Las juntas, pases y muestras simulados de la lección: no nombran ni al alumno ni al instructor.',
  ],
  [
    'The log of alarms and the journal, where somebody chose a name to acknowledge or enter something during the lesson.',
    'El diario de alarmas y el de anotaciones, donde alguien eligió un nombre para reconocer o anotar algo durante la lección.',
  ],
  [
    'Copies that people made: exported files, printed debriefs, and copies of the disk. Backups of this program hold no sessions.',
    'Copias que hicieron personas: archivos exportados, repasos impresos y copias del disco. Las copias de seguridad de este programa no contienen sesiones.',
  ],
  [
    'd′ needs at least {} windows with a signal and {} without: here are {} and {}.',
    'd′ necesita al menos {1} tramos con señal y {2} sin ella: aquí hay {3} y {4}.',
  ],

  ['Is this rig what its sheet says?', '¿Es este equipo lo que dice su hoja?'],
  [
    'Compare travel, wire feed and voltage with the procedure and with the other side before trusting them.',
    'Compare avance, alambre y tensión con el procedimiento y con el otro lado antes de confiar en ellos.',
  ],
  [
    'A reading that is off by a constant is a matter for the weld setter: call, do not trim it away.',
    'Una lectura desviada en una constante es asunto del ajustador de soldadura: llame, no la compense.',
  ],
  [
    'Know what a voltage tapped at the source looks like beside one tapped at the tip.',
    'Sepa cómo se ve una tensión tomada en la fuente junto a una tomada en la punta.',
  ],
  ['Which pass is this rig really welding?', '¿Qué pase está soldando de verdad este equipo?'],
  [
    'See within the first stretch of a pass that another pass runs: feed, voltage and travel step together.',
    'Vea en el primer tramo de un pase que corre otro: alambre, tensión y avance saltan a la vez.',
  ],
  [
    'Stop and call; do not weld on with a wrong table.',
    'Pare y llame; no siga soldando con una tabla equivocada.',
  ],
  ['Stick-out grows on one side', 'La extensión crece en un lado'],
  [
    'See current sink slowly while feed and travel stay, and name the side.',
    'Vea bajar despacio la corriente mientras alambre y avance se mantienen, y nombre el lado.',
  ],
  [
    'Tell a small drift that is a trend from one that is not.',
    'Distinga una deriva pequeña que es tendencia de una que no lo es.',
  ],
  ['A contact tip wears out', 'Una punta de contacto se gasta'],
  ['See current sink and become restless together.', 'Vea bajar la corriente y volverse inquieta a la vez.'],
  [
    'A change of tip cures it: ask for one at the next stop.',
    'Un cambio de punta lo cura: pídalo en la próxima parada.',
  ],
  ['The wire slips and the feed does not show it', 'El alambre patina y su velocidad no lo muestra'],
  [
    'Feed is read at the motor here: slip shows only as current that sinks with a normal feed.',
    'Aquí el alambre se lee en el motor: el patinaje solo se ve como corriente que baja con un alambre normal.',
  ],
  [
    'Tell it from stick-out: it comes and goes, and the layer stays low.',
    'Distíngalo de la extensión: va y viene, y la capa queda baja.',
  ],
  ['The wire slips and the feed shows it', 'El alambre patina y su velocidad lo muestra'],
  [
    'Feed is read on the wire here: feed and current fall together.',
    'Aquí se lee en el alambre: alambre y corriente caen a la vez.',
  ],
  ['Name the cause by the pair, not by the larger one.', 'Nombre la causa por la pareja, no por el mayor.'],
  ['A bad earth on one side', 'Una mala masa en un lado'],
  [
    'See voltage at the arc fall on one side while the other stands, and current with it hardly moves.',
    'Vea caer la tensión de arco en un lado mientras el otro se mantiene, y la corriente apenas se mueve.',
  ],
  [
    'Ask for the clamp to be looked at; it comes back when the clamp moves.',
    'Pida que se mire la pinza; vuelve cuando la pinza se mueve.',
  ],
  ['The shielding gas is lost', 'Se pierde el gas de protección'],
  [
    'See it on the flow where there is one, and by a restless arc where there is none.',
    'Véalo en el caudal donde se mide, y por un arco inquieto donde no.',
  ],
  [
    'Stop at once: what was welded without gas is for inspection to decide.',
    'Pare enseguida: lo soldado sin gas lo decide la inspección.',
  ],
  ['The record lies, or is late', 'El registro miente, o llega tarde'],
  [
    'A reading that never moves is no reading: see held values.',
    'Una lectura que nunca se mueve no es una lectura: vea los valores repetidos.',
  ],
  [
    'A pass whose beginning is missing has no evidence for it: see NO DATA, and say so at once.',
    'Un pase al que le falta el inicio no tiene prueba de él: vea SIN DATOS, y dígalo enseguida.',
  ],
  ['Stops and restarts, with and without an overlap', 'Paradas y reinicios, con y sin solape'],
  [
    'See where a restart begins: over the crater of the stop, or past it.',
    'Vea dónde empieza un reinicio: sobre el cráter de la parada, o más allá.',
  ],
  [
    'A restart done right is no deviation; one that leaves weld out is called at once.',
    'Un reinicio bien hecho no es desviación; uno que deja soldadura sin hacer se avisa enseguida.',
  ],
  ['The time between passes', 'El tiempo entre pases'],
  [
    'For this lesson: the next pass begins within two minutes after the last, or somebody asks why.',
    'En esta lección: el pase siguiente empieza antes de dos minutos tras el último, o alguien pregunta por qué.',
  ],
  [
    'A long break has no sign in current or voltage: only the clock and the temperature entry tell.',
    'Una pausa larga no se nota en corriente ni tensión: solo lo dicen el reloj y la temperatura anotada.',
  ],
  ['A clean rig', 'Un equipo sin fallos'],
  [
    'Nothing here is wrong. Trims inside the limits, a restart done right, a wider weave: leave them alone.',
    'Aquí nada va mal. Ajustes dentro de límites, un reinicio bien hecho, una oscilación más ancha: déjelos estar.',
  ],
  ['Count how often you wanted to press.', 'Cuente cuántas veces quiso tocar.'],
  ['Two hours on the line', 'Dos horas en la línea'],
  [
    'Stay with both sides for two hours: three things go wrong, most of what moves is legal.',
    'Siga ambos lados durante dos horas: tres cosas van mal, casi todo lo que se mueve está permitido.',
  ],
  [
    'Name side, channel and what the crew should do.',
    'Nombre lado, canal y lo que la cuadrilla debería hacer.',
  ],
];
