import type { enChanges } from './en-changes.ts';
import { plural } from './es-words.ts';

const passes = (n: number): string => plural(n, { one: 'pase', other: 'pases' });

/** Spanish: changes along the weld, how they are called, and one pass type over the joints. */
export const esChanges: typeof enChanges = {
  label: 'Cambios a lo largo de la soldadura',
  tabs: {
    changes: 'Avisos',
    changesOver: 'De junta en junta',
    changesSettings: 'Cómo se avisan los cambios',
  },
  loading: 'Leyendo …',
  failed: why => `Esto no se pudo leer: ${why}`,
  noServer: 'el servidor del panel no responde.',
  retry: 'Intentar de nuevo',
  quantity: {
    weldingCurrent: 'Corriente de soldadura',
    arcVoltage: 'Tensión de arco',
    wireFeedSpeed: 'Velocidad de alambre',
    travelSpeed: 'Velocidad de avance',
    gasFlow: 'Caudal de gas',
    arcEnergy: 'Energía de arco',
    heatInput: 'Aporte térmico',
    runOutLengthMm: 'Longitud soldada',
    closure: 'Cierre de ambos lados',
    currentSpread: 'Dispersión de la corriente',
    voltageSpread: 'Dispersión de la tensión',
  },

  calls: {
    title: 'Avisos',
    intro:
      'Lo que las reglas avisaron en pases terminados: valores fuera de rango y cambios a lo largo de la soldadura. Marque ' +
      'qué resultó ser cada aviso. Una marca no cambia ni el registro ni una evaluación; mide cuánto se puede confiar en los avisos.',
    none: 'Ningún pase terminado tiene un aviso.',
    more: 'Avisos anteriores',
    who: 'Quién marca',
    whoFirst: 'Diga primero quién marca.',
    rule: {
      outOfRange: 'FUERA DE RANGO',
      drifting: 'DERIVA',
      projected: 'CAMINO DE SALIR',
      pattern: 'INUSUAL EN CONJUNTO',
      trim: 'AJUSTE',
    },
    where: (joint, side, pass) =>
      [joint === null ? 'sin junta' : `junta ${joint}`, side === null ? '' : `lado ${side}`, pass ?? '']
        .filter(part => part !== '')
        .join(', '),
    place: (from, to) => `de ${from} a ${to} a lo largo del lado`,
    mark: { real: 'Real', notReal: 'No real', unknown: 'No se sabe' },
    markOf: call => `Qué fue: ${call}`,
    marked: (what, who, when) => `${what}: ${who}, ${when}`,
    trimNote: 'Un ajuste se muestra, nunca se anuncia.',
    failed: why => `La marca no se guardó: ${why}`,
  },

  trust: {
    title: 'Cuánto acertaron los avisos',
    none: 'Todavía no se ha medido nada: ningún pase está terminado.',
    line: (n, calls) => `${passes(n)}, ${plural(calls, { one: 'aviso', other: 'avisos' })}`,
    marks: (real, notReal, unknown, open) =>
      `${real} reales, ${notReal} no reales, ${unknown} no se sabe, ${open} sin marcar`,
    rate: (rate, low, high) => `Avisos falsos: ${rate} en 100 pases (de ${low} a ${high}, 95 %)`,
    rateLeast: rate => `Al menos ${rate} avisos falsos en 100 pases: no todos están marcados`,
    unmarked: 'Avisos falsos: no se conocen hasta que se marquen.',
    computed: rate =>
      `Por cálculo, con ventanas que no dependen unas de otras: ${rate} avisos falsos en 100 pases.`,
  },

  settings: {
    title: 'Cómo se avisan los cambios',
    intro:
      'Cada ventana de unos 25 mm (1 in) de soldadura se compara con lo que este equipo hace en pases buenos del mismo tipo. ' +
      'Estos números dicen cuánto debe cambiar, y durante cuánto, para que se avise. No cambian ningún límite de ningún procedimiento.',
    shipped: 'Como viene de origen.',
    changed: (who, when, why) => `Cambiado por ${who}, ${when}: ${why}`,
    fields: {
      k: {
        label: 'Holgura k',
        hint: 'En desviaciones típicas. La mitad del cambio que interesa encontrar: los menores se dejan pasar.',
      },
      h: {
        label: 'Paciencia h',
        hint: 'En desviaciones típicas. Cuánto debe acumularse antes de avisar.',
      },
      lambda: {
        label: 'Peso de la ventana más reciente λ',
        hint: 'De la media móvil dibujada al lado, de 0.01 a 1.',
      },
      width: { label: 'Anchura de sus límites L', hint: 'En desviaciones típicas de la media.' },
      pattern: {
        label: 'Inusual en conjunto: una ventana buena de cada',
        hint: 'Con qué rareza puede avisarse de una ventana buena porque sus valores no encajan entre sí.',
      },
      onDelayS: { label: 'Fuera de rango: se avisa después de', hint: 'Segundos más allá del límite.' },
      offDelayS: { label: 'Fuera de rango: termina después de', hint: 'Segundos de nuevo dentro.' },
    },
    wrong: (low, high) => `Un número de ${low} a ${high}.`,
    effect: 'Qué efecto tiene',
    effectUnknown: 'Se dice en cuanto todos los números de arriba tengan sentido.',
    perPass: (windows, length, channels, from) =>
      `Para un pase de ${windows} ventanas de ${length} en ${channels} canales (${from}):`,
    fromPasses: n => `lo habitual de los últimos ${passes(n)}`,
    fromExample: 'un ejemplo: media circunferencia de un tubo de 610 mm (24 in)',
    falseCall: one => `un pase bueno recibe un aviso falso más o menos una vez en ${one} pases`,
    falseNever: 'un pase bueno prácticamente nunca recibe un aviso falso',
    seen: (sigma, windows, length) =>
      `un cambio de ${sigma} σ se avisa después de ${windows} ventanas, ${length} de soldadura, en promedio`,
    seenNever: sigma => `un cambio de ${sigma} σ prácticamente nunca se avisa`,
    average: 'La media móvil al lado',
    averageOnly: 'Se dibuja y no avisa de nada. Si sus límites avisaran:',
    pattern: one =>
      `Valores que no encajan entre sí: un pase bueno recibe un aviso falso más o menos una vez en ${one} pases.`,
    caveat:
      'Calculado para ventanas que no dependen unas de otras. Las ventanas vecinas de una soldadura real dependen un poco: ' +
      'la tasa medida de abajo es la que merece confianza.',
    try: 'Probar con los últimos 20 pases',
    trying: 'Pasando otra vez las muestras …',
    tried: 'Con los últimos pases',
    triedNone: 'Ningún pase registrado puede repetirse.',
    triedSum: (n, before, now) =>
      `${passes(n)}: ${plural(before, { one: 'aviso', other: 'avisos' })} como se registró, ${now} con estos números.`,
    columns: { pass: 'Pase', recorded: 'Como se registró', tried: 'Con estos' },
    counts: (out, drifting, projected, pattern) =>
      out + drifting + projected + pattern === 0
        ? 'ninguno'
        : [
            out > 0 ? `${out} fuera de rango` : '',
            drifting > 0 ? `${drifting} de deriva` : '',
            projected > 0 ? `${projected} camino de salir` : '',
            pattern > 0 ? `${pattern} inusuales en conjunto` : '',
          ]
            .filter(part => part !== '')
            .join(', '),
    save: 'Usar estos desde ahora',
    saveFirst: 'Pruébelos primero con los últimos pases: después se pueden guardar.',
    reason: 'Motivo',
    reasonMissing: 'Diga el motivo.',
    saved:
      'Guardado. Cada unidad de captura conectada los usa desde su próximo pase; las demás, cuando vuelvan.',
    asShipped: 'Números de origen',
    history: 'Cambios anteriores',
  },

  over: {
    title: 'Un tipo de pase de junta en junta',
    intro:
      'La media de cada pase, junta tras junta, de cada equipo y lado: un equipo que se desvía poco a poco durante días se ve aquí ' +
      'antes de que ningún pase salga de su rango.',
    type: 'Tipo de pase',
    typeOf: (procedure, pass, n) => `${procedure}, ${pass} (${n})`,
    what: 'Qué seguir',
    none: 'Todavía no hay registrado ningún pase de un procedimiento asignado.',
    tooFew: n => `${passes(n)}: hacen falta al menos 8 para límites de lo habitual.`,
    limits: (centre, low, high, unit) =>
      `Habitual aquí: de ${low} a ${high} ${unit} alrededor de ${centre} (media y rango móvil)`,
    outside: n => `${passes(n)} fuera de lo habitual`,
    unknown: n => `${passes(n)} sin este valor`,
    rigSide: (rig, side) => `${rig}, lado ${side}`,
    table: 'Como tabla',
    columns: { joint: 'Junta', when: 'Inicio', value: 'Valor', note: 'Nota' },
    beyond: 'fuera de lo habitual',
    closureTitle: 'Cierre de ambos lados',
    closureIntro:
      'Longitud soldada de ambos lados frente a la circunferencia, descontado el solape. Lejos de cero: puede fallar un encóder, ' +
      'patinar una rueda o estar mal un radio de referencia.',
    closureNone: 'Ninguna junta tiene todavía ambos lados de este pase con longitud conocida.',
    finding: { closed: 'cierra', look: 'conviene mirar', suspect: 'sospechoso: encóder, patinaje o radio' },
    uncertainty: u => `± ${u}`,
  },
};
