import type { enReview } from './en-review.ts';
import { esIndications } from './es-indications.ts';
import { atHour, plural } from './es-words.ts';

/** Spanish: a joint under review. */
export const esReview: typeof enReview = {
  ...esIndications,
  open: 'Revisar a lo largo de la soldadura',
  title: joint => `Revisión de la junta ${joint}`,
  back: 'Volver a la junta',
  rowLink: 'Revisar',
  loading: 'Leyendo la junta; sus muestras se cortan en ventanas …',
  failed: why => `La junta no se pudo leer: ${why}`,
  notAcceptance:
    'Lo que se muestra se midió frente al procedimiento. No es un dictamen de ensayos no destructivos. Una junta sin desviaciones no queda aceptada por eso.',
  facts: (wps, od, wall) => `${wps}, diámetro exterior ${od}, espesor ${wall}`,
  noWps: 'WPS desconocido',
  positions:
    'Posiciones horarias mirando aguas abajo, las 12 arriba; el lado B va con el reloj, el lado A en contra; longitudes a lo largo de cada lado desde su inicio.',

  stripTitle: 'La junta desenrollada',
  stripLabel: 'Pases de la junta desde las 12 en sentido horario, la capa exterior arriba',
  stripNote:
    'Gris: soldado. Naranja con número: desviación. Franja azul: se avisó de un cambio a lo largo de la soldadura. Rayado: sin datos. Trazos: inicios y paradas. Recuadro grueso: una indicación; con trazos alrededor, la incertidumbre de su lugar.',
  stripScroll: 'Sigue a la derecha: desplácela hacia un lado.',
  sideRuns: { A: '← lado A', B: 'lado B →' },
  callMark: label => `END ${label}`,
  repairRow: pass => `${pass}, reparación`,
  passLabel: (side, pass, deviations) =>
    `lado ${side}, ${pass}, ${plural(deviations, { one: 'desviación', other: 'desviaciones' })}`,
  unplaced: n =>
    `${plural(n, { one: 'pase no tiene', other: 'pases no tienen' })} lugar en la junta y no se puede dibujar.`,
  noPasses: 'Todavía no hay registrado ningún pase de esta junta.',

  pass: {
    title: name => `A lo largo de la soldadura: ${name}`,
    pick: 'Pase',
    repair: 'reparación',
    repairNote: 'Soldado después de que se decidió una reparación: se muestra como capa propia.',
    nameOf: (side, pass, rig) => `lado ${side ?? '?'}, ${pass ?? 'sin pase'} (${rig})`,
    from: unit => `Desde, ${unit}`,
    to: unit => `Hasta, ${unit}`,
    at: unit => `Cursor, ${unit}`,
    whole: 'Pase completo',
    axis: 'A lo largo de',
    axisLength: 'longitud',
    axisS: 'tiempo',
    notNumber: 'Un número, o nada.',
    cursorNowhere: 'El cursor todavía no está en ningún sitio: muévalo, y los gráficos y la tira lo siguen.',
    cursor: (length, clock, s) => `A ${length}, ${atHour(clock)}, ${s} s del pase`,
    noWindow: length => `A ${length} no hay ninguna ventana.`,
    moved: pass => `Movido por una anotación; evaluado como ${pass}.`,
    depth: (top, bottom) => `Está de ${top} a ${bottom} bajo la superficie exterior, según lo depositado.`,
    depthUnknown: 'No se conoce a qué profundidad está: falta el bisel, o lo depositado antes.',
    summary: (arc, length, energy, heat) =>
      `Tiempo de arco ${arc} s, longitud soldada ${length}, energía de arco ${energy}, aporte térmico ${heat}`,
    quality: 'Calidad de los datos',
    qualityOk: 'no falta nada',
    gaps: (n, s) => `${plural(n, { one: 'hueco', other: 'huecos' })}, ${s} s no observados`,
    missing: channels => `no medido: ${channels}`,
    pruned: 'las muestras se redujeron; las ventanas no se pueden rehacer',
    tap: where => `tensión tomada en ${where}`,
    offset: ms => `reloj desviado ${ms} ms`,
    range: (low, high, unit) => `de ${low} a ${high} ${unit}`,
    chart: (quantity, range) => `${quantity} a lo largo de la soldadura: ${range}`,
    chartNothing: 'aquí no se conoce nada',
    arcBar: (stops, events) =>
      `Dónde ardió el arco: ${plural(stops, { one: 'parada', other: 'paradas' })}, ${plural(events, { one: 'evento', other: 'eventos' })}`,
    samplesLoading: 'Leyendo las muestras …',
    samplesFailed: why => `No se pudieron leer las muestras: ${why}`,
    noSamples: 'SIN DATOS: aquí no hay guardada ninguna muestra de este tramo.',
    summarised:
      'Las muestras de una parte de este tramo se dejaron ir, o ahora no se pueden leer: ahí se muestran el mínimo y el máximo de cada segundo o más.',
    readHere: 'No se pudo leer InfluxDB: las muestras que se ven son las que tiene el almacén.',
    events: 'Eventos',
    noEvents: 'No hay registrado ningún evento.',
    verdicts: 'Evaluaciones',
    states: { in: 'dentro', marginal: 'marginal', out: 'FUERA', notJudged: 'no evaluado' },
    columns: {
      quantity: 'Magnitud',
      limits: 'Límites',
      value: 'Valor',
      verdict: 'Evaluación',
      time: 'Tiempo',
      where: 'Dónde',
      what: 'Qué',
    },
  },

  rows: {
    title: 'A lo largo de la soldadura en números',
    windows: length => `cada ${length}`,
    sectors: 'cada 30°',
    pick: 'Filas',
    clock: 'posición horaria',
    none: 'No se conoce ninguna ventana de este pase.',
    outMark: '◆ FUERA',
    span: (from, to) => `${from} – ${to}`,
    seconds: (from, to) => `${from} – ${to} s`,
    extremesTitle: 'Lo que muestran los gráficos, en números',
    extremesNote: 'Lectura menor y mayor de cada ventana.',
  },

  passes: {
    title: 'Pases en el orden en que se soldaron',
    pass: 'Pase',
    arcTime: 'Tiempo de arco, s',
    runOut: 'Longitud soldada',
    current: 'Corriente',
    voltage: 'Tensión',
    feed: 'Velocidad de alambre',
    travel: 'Velocidad de avance',
    energy: 'Energía de arco',
    heat: 'Aporte térmico',
    deviations: 'Desviaciones',
    verdict: 'Evaluación',
  },

  evidence: {
    title: (readings, missing) =>
      `Temperaturas (${readings}), comprobación de los equipos, lo que falta (${missing})`,
    temperatures: 'Precalentamiento y entre pases',
    reading: (what, value, pass, clock, when, who) =>
      `${what} ${value} antes de ${pass}${clock === '' ? '' : ` a ${atHour(clock)}`}, ${when}, ${who}`,
    verifications: 'Los equipos tal como estaban cuando soldaron aquí por primera vez',
    verified: (rig, when, ready) => `${rig}, ${when}: ${ready ? 'comprobado y listo' : 'NO LISTO'}.`,
    missing: 'Falta o va contra las reglas',
  },

  beside: {
    title: 'Junto a otras juntas',
    intro: 'El mismo pase en hasta tres juntas más, una línea cada una.',
    pick: 'Añadir una junta',
    add: 'Añadir',
    remove: joint => `Quitar ${joint}`,
    none: 'La otra junta no tiene ese pase en este lado.',
    what: 'Magnitud',
    label: quantity => `${quantity} de esta junta y de las de al lado`,
    table: 'Lo mismo en números',
    loading: 'Leyendo las otras juntas …',
    failed: why => `Otra junta no se pudo leer: ${why}`,
    noOthers: 'Ninguna otra junta tiene todavía este pase en este lado.',
  },

  note: {
    title: 'Notas',
    none: 'Ninguna nota.',
    add: 'Escribir una nota',
    text: 'Nota',
    about: (from, to) => `Sobre el tramo de ${from} a ${to} de este pase`,
    save: 'Guardar la nota',
    saved: 'La nota está guardada.',
    missing: { text: 'Escriba algo.' },
  },

  who: 'Quién lo anota',
  whoMissing: 'Diga quién lo anota.',
  cancel: 'Cancelar',
  entryFailed: why => `No se guardó: ${why}`,
};
