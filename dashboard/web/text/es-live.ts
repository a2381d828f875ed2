import type { Texts } from './en.ts';
import { atHour, plural } from './es-words.ts';

/** Spanish: the live view, and what stands on every screen. */
export const esLive = {
  product: 'Girthlog',
  liveTitle: 'Vista en vivo',
  back: 'Volver a la vista en vivo',
  skipToMain: 'Saltar a los lados',

  side: side => `LADO ${side}`,
  sideOf: side => `lado ${side}`,
  noSide: 'SIN LADO',
  rig: rig => `${rig}`,

  arcOn: 'ARCO ENCENDIDO',
  arcOff: 'ARCO APAGADO',
  noData: time => (time === null ? 'SIN DATOS' : `SIN DATOS ${time}`),
  edgeLost: time => (time === null ? 'CAPTURA PERDIDA' : `CAPTURA PERDIDA ${time}`),
  edgeStopped: time => (time === null ? 'CAPTURA PARADA' : `CAPTURA PARADA ${time}`),

  noDataBecause: {
    link: time =>
      time === null
        ? 'Sin conexión con el servidor del panel.'
        : `Sin conexión con el servidor del panel desde las ${time}.`,
    edge: 'La unidad de captura no está conectada. Lo que registra se guarda allí hasta que vuelva.',
    silent: 'No llega nada de este equipo.',
    source: 'No llega la señal del equipo.',
    held: 'La fuente repite una lectura: esto no son datos.',
    never: 'Este equipo todavía no ha enviado nada.',
  },
  forSeconds: duration => `Desde hace ${duration}.`,
  arcWasOn: 'Había arco.',
  arcWasOnAt: clock => `Había arco, la última vez a ${atHour(clock)}.`,
  notRecorded: 'No se registra: pare, o anote las horas a mano.',
  recordedUnknown: 'Desde aquí no se puede ver si se registra.',

  outOfRange: 'FUERA DE RANGO',
  outOfRangeSentence: (quantity, value, limit, unit) => `${quantity} ${value}, límite ${limit} ${unit}`,
  passMismatch: 'REVISE EL PASE',
  looksLike: (likelier, assigned, feed, travel) =>
    `Parece ${likelier}, no ${assigned}: alambre ${feed}, avance ${travel}`,
  andProgram: program => `, programa ${program}`,
  sinceClock: clock => `desde ${atHour(clock)}`,
  valuesOut: n => `${plural(n, { one: 'valor', other: 'valores' })} fuera de rango`,
  moreOut: n => `${plural(n, { one: 'valor más', other: 'valores más' })} fuera de rango`,

  quantity: {
    weldingCurrent: 'corriente',
    arcVoltage: 'tensión',
    wireFeedSpeed: 'alambre',
    travelSpeed: 'avance',
    power: 'potencia',
    arcEnergy: 'energía de arco',
    heatInput: 'aporte térmico',
    gasFlow: 'caudal de gas',
    preheatTemperature: 'precalentamiento',
    interpassTemperature: 'temperatura entre pases',
    contactTipToWorkDistance: 'distancia punta–pieza',
    oscillationWidth: 'anchura de oscilación',
    oscillationFrequency: 'frecuencia de oscilación',
    timeBetweenPasses: 'tiempo entre pases',
  },

  ambiguous: typed =>
    `“${typed}” puede ser uno de dos números: escríbalo sin miles y con el signo decimal fijado en este dispositivo.`,

  barInside: (value, limits) => `${value}, dentro de ${limits}`,
  barBelow: (value, limits) => `${value}, por debajo de ${limits}`,
  barAbove: (value, limits) => `${value}, por encima de ${limits}`,
  barNoLimit: value => `${value}, sin límite`,
  barNoValue: 'sin valor',
  limits: {
    both: (min, max, unit) => `límites de ${min} a ${max} ${unit}`,
    range: (min, max) => `de ${min} a ${max}`,
    max: (max, unit) => `límite como mucho ${max} ${unit}`,
    atMost: max => `como mucho ${max}`,
    atLeast: min => `al menos ${min}`,
    min: (min, unit) => `límite al menos ${min} ${unit}`,
    none: 'sin límite',
  },
  basis: { pass: 'media del pase', window: 'ventana de longitud soldada', instant: 'media de 1 s' },

  arcTime: 't. de arco',
  runOut: unit => `soldado ${unit}`,
  arcEnergyIn: unit => `energía ${unit}`,
  heatInputIn: unit => `aporte ${unit}`,
  plusMinus: value => `± ${value}`,
  standingArc: s => `arco parado ${s} s`,
  restarts: n => plural(n, { one: 'reinicio', other: 'reinicios' }),
  unobserved: s => `${s} s no observados`,
  energyBasis: {
    instantaneous: 'de potencia instantánea',
    frameProduct: 'U × I medias por trama',
  },

  noWork: 'SIN TRABAJO ASIGNADO',
  noWorkHint: 'Lo que se suelda ahora se registra sin junta, lado ni pase, y no se evalúa.',
  pending: what => `Esperando a que el equipo tome: ${what}`,
  pendingClear: 'sin trabajo',
  noProcedure: 'El procedimiento no está cargado: los valores se muestran sin límites.',
  exampleOnly: 'SOLO EJEMPLO – NO ES UN PROCEDIMIENTO',

  ring: {
    noJoint: 'sin junta',
    describe: joint => `Anillo de la junta ${joint}, mirando aguas abajo, las 12 arriba.`,
    sideAt: (side, pass, clock, length) => `Lado ${side}: ${pass}, a ${atHour(clock)} ± ${length}.`,
    sideLost: (side, pass, clock) => `Lado ${side}: ${pass}, sin datos, la última vez a ${atHour(clock)}.`,
    flags: n => plural(n, { one: 'tramo fuera de rango', other: 'tramos fuera de rango' }),
    unseen: 'Rayado: no registrado.',
  },

  origin: { real: 'REAL', simulated: 'SIMULADO', replay: 'REPETICIÓN' },
  originMixed: parts => `MEZCLADO: ${parts}`,
  originUnknown: 'ORIGEN DESCONOCIDO',
  trust: {
    label: 'Cuánto se puede confiar en esta pantalla',
    clock: 'reloj',
    stored: 'guardado',
    storedNone: 'nada todavía',
    oldest: n => `peor de ${n}`,
    buffer: 'en espera',
    bufferEmpty: 'nada',
    bufferWaiting: n => plural(n, { one: 'lote en espera', other: 'lotes en espera' }),
    recording: 'registro',
    recordingState: { ok: 'bien', lagging: 'CON RETRASO', failed: 'FALLÓ' },
    server: 'servidor',
    serverOpen: 'conectado',
    serverConnecting: 'conectando',
    serverDown: time => `SIN CONEXIÓN desde ${time}`,
    thinned: 'conectado, pantalla aligerada',
    thinnedNote: everyS =>
      `Esta pantalla no da abasto: sus valores en vivo llegan cada ${everyS} s. Alarmas, eventos y registro están completos.`,
    unknown: 'desconocido',
    time: 'hora',
    clockState: { synced: 'sincronizado', holdover: 'EN RETENCIÓN', unsynced: 'SIN SINCRONIZAR' },
    clockOffset: ms => `± ${ms} ms`,
    onRigs: (what, rigs) => `${what}: ${rigs}`,
  },

  empty: {
    title: 'Ningún equipo ha informado todavía',
    connecting: 'Conectando con el servidor del panel …',
    down: time =>
      `Sin conexión con el servidor del panel desde las ${time}. Se intenta otra vez por sí solo.`,
    next: 'Qué hacer ahora',
    steps: [
      'Inicie una unidad de captura en el ordenador al que llega la señal del equipo, y dele la dirección del broker de este panel.',
      'Mire sus primeras líneas: nombran la señal que abrió y el broker que alcanzó.',
      'El lado aparece aquí por sí solo. Después dígale qué suelda con “Asignar trabajo”.',
    ],
  },

  screen: {
    label: 'Esta pantalla',
    theme: 'Tema',
    themes: { auto: 'Auto', day: 'Día', night: 'Noche' },
    gloves: 'Botones para guantes',
    awake: 'Mantener la pantalla encendida',
    awakeUnavailable:
      'Este navegador no puede mantener la pantalla encendida aquí: necesita https o este ordenador.',
    awakeLost: 'La pantalla puede apagarse otra vez: lo terminó el navegador.',
  },
  caution: {
    line: 'Solo supervisión: no es un dispositivo de seguridad, enclavamiento ni parada de emergencia. La ausencia de alarma no es aceptación. Anillos: mirando aguas abajo.',
    open: 'Precauciones y cómo leer esto',
    title: 'Precauciones',
    device:
      'El registrador es solo supervisión: no es un dispositivo de seguridad, enclavamiento ni parada de emergencia; nunca manda sobre el equipo.',
    acceptance:
      'La ausencia de alarma no es aceptación. La aceptación corresponde al código, al WPS, a la normativa local y a personas cualificadas y autorizadas.',
    example: 'Los límites de ejemplo no son un procedimiento.',
    missing: 'Donde faltan datos se lee SIN DATOS.',
    hazardsTitle: 'Dónde este trabajo puede herir a alguien',
    hazards: [
      'Radiación de arco y humos.',
      'Descarga eléctrica: las tomas de los sensores están en el circuito de soldadura. Aislamiento, tomas con fusible, solo personas cualificadas.',
      'Trabajo en caliente e incendio. Tubo caliente.',
      'Un carro que se mueve: una carrera de comprobación lo mueve.',
      'Tubo suspendido y tráfico. Cilindros.',
      'Solo vehículos estacionados: no mire esta pantalla mientras conduce.',
    ],
    readTitle: 'Cómo leer la pantalla',
    read: [
      'Un anillo es la junta, mirando aguas abajo, las 12 arriba: el lado A a la izquierda, el lado B a la derecha. La capa interior es el primer pase; la oscura es la que se está soldando.',
      'La marca redonda es donde está el arco ahora; el corchete encima es cuánto puede desviarse (k = 2). Barras a través de una capa: ahí no se registró nada.',
      'En cada barra los dos extremos negros son los límites, la marca de trazos es el valor nominal, el puntero es la media de 1 s. Un puntero tumbado significa que el valor está fuera de escala.',
      'Un rombo numerado marca soldadura que estuvo fuera de rango. Todo lo normal es gris.',
      'La energía de arco no lleva rendimiento; el aporte térmico es energía de arco × rendimiento térmico. El ± es con k = 2.',
    ],
    zone: zone => `Las horas de esta pantalla son de la zona horaria de la obra, ${zone}.`,
  },
} satisfies Partial<Texts>;
