import type { Phrase } from './phrase-book.ts';

/** Spanish: why the dashboard did not do what was asked. */
export const PROBLEM_PHRASES: readonly Phrase[] = [
  [
    'This alarm is over and was answered already: nothing was changed.',
    'Esta alarma terminó y ya fue contestada: no se cambió nada.',
  ],
  [
    'This is still so: it can be reset when it is over.',
    'Sigue activa: se puede restablecer cuando termine.',
  ],
  [
    'Acknowledge it first: nobody has yet said that they saw it.',
    'Reconózcala primero: nadie ha dicho todavía que la vio.',
  ],
  [
    'A shelf has a reason and an end within twelve hours.',
    'Un aplazamiento tiene un motivo y un fin antes de doce horas.',
  ],
  ['This is not on the shelf: nothing was changed.', 'No está aplazada: no se cambió nada.'],
  ['This is in service: nothing was changed.', 'Está en servicio: no se cambió nada.'],
  [
    'The author is not among the people here: add the name first.',
    'El autor no está entre las personas de aquí: añada primero el nombre.',
  ],
  ['{} may not do this: it takes one of {}.', '{1} no puede hacerlo: hace falta uno de {2}.'],
  ['{} may not do this: that needs the role {}.', '{1} no puede hacerlo: hace falta la función {2}.'],
  [
    '{} may not rule about a joint: that needs the role {}.',
    '{1} no puede decidir sobre una junta: hace falta la función {2}.',
  ],
  [
    '{} may not trust a key: that needs the role {}.',
    '{1} no puede confiar en una clave: hace falta la función {2}.',
  ],
  ['{} may not {}: that needs the role {}.', '{1} no puede {2}: hace falta la función {3}.'],
  [
    'To approve or withdraw a procedure needs the role {}.',
    'Aprobar o retirar un procedimiento requiere la función {1}.',
  ],
  ['An entry of kind {} needs a reason.', 'Una anotación de tipo {1} necesita un motivo.'],
  [
    'The shift date {} lies ahead: give the day the shift began.',
    'La fecha de turno {1} está en el futuro: dé el día en que empezó el turno.',
  ],
  ['There is no entry {} to correct.', 'No hay ninguna anotación {1} que corregir.'],
  ['A correction needs a reason.', 'Una corrección necesita un motivo.'],
  [
    'Entry {} is a {} of {}: a correction is of the same kind about the same.',
    'La anotación {1} es {2} de {3}: una corrección es del mismo tipo sobre lo mismo.',
  ],
  [
    'Entry {} was corrected by {} already: correct that one.',
    'La anotación {1} ya fue corregida por {2}: corrija esa.',
  ],
  [
    'The time {} lies ahead: give the time when it happened.',
    'La hora {1} está en el futuro: dé la hora en que pasó.',
  ],
  [
    'Person {} is not among the people here: add the name first.',
    'La persona {1} no está entre las de aquí: añada primero el nombre.',
  ],
  [
    'Joint {} was cut out on {}: its number is retired. Give the number of the joint that it is.',
    'La junta {1} fue cortada el {2}: su número está retirado. Dé el número de la junta que es.',
  ],
  [
    'Joint number {} was opened on {} by {} and has {} recorded passes: give another number, or change that joint.',
    'El número de junta {1} se abrió el {2} por {3} y tiene {4} pases registrados: dé otro número, o cambie esa junta.',
  ],
  [
    'There are as many rigs here as the settings allow (max_rigs).',
    'Aquí hay tantos equipos como permiten los ajustes (max_rigs).',
  ],
  ['No pass {} is stored.', 'No hay guardado ningún pase {1}.'],
  ['No pass of joint {} is stored.', 'No hay guardado ningún pase de la junta {1}.'],
  [
    'No pass of joint {} names a procedure and a diameter.',
    'Ningún pase de la junta {1} nombra un procedimiento y un diámetro.',
  ],
  ['No rig {}/{} has reported here.', 'Ningún equipo {1}/{2} ha informado aquí.'],
  ['No rig {}/{} is known here.', 'Aquí no se conoce ningún equipo {1}/{2}.'],
  [
    'The pass is still being welded: move it when it is closed.',
    'El pase aún se está soldando: muévalo cuando esté cerrado.',
  ],
  [
    'The pass is {} and joint {} is {}: they never share a joint.',
    'El pase es {1} y la junta {2} es {3}: nunca comparten junta.',
  ],
  ['There is no {} here: store it first.', 'Aquí no hay {1}: guárdelo primero.'],
  ['revision {} of procedure {}', 'la revisión {1} del procedimiento {2}'],
  ['Revision {} of procedure {}', 'La revisión {1} del procedimiento {2}'],
  ['There is no pass "{}" in {}.', 'No hay ningún pase "{1}" en {2}.'],
  ['{} is not stored here.', '{1} no está guardado aquí.'],
  [
    '{} is withdrawn: store a new revision, or correct the withdrawal.',
    '{1} está retirado: guarde una revisión nueva, o corrija la retirada.',
  ],
  ['There is no revision {} of procedure {} here.', 'Aquí no hay revisión {1} del procedimiento {2}.'],
  [
    'Revision {} of {} is stored with other content and never changes: give it a new revision.',
    'La revisión {1} de {2} está guardada con otro contenido y nunca cambia: dele una revisión nueva.',
  ],
  ['Nothing is entered or recorded of joint {}.', 'No hay nada anotado ni registrado de la junta {1}.'],
  [
    'Only an administrator says who is more than a weld setter.',
    'Solo un administrador dice quién es más que ajustador de soldadura.',
  ],
  ['{}/{} is not ready: {}', '{1}/{2} no está listo: {3}'],
  ['Do what is missing; the pass carries it otherwise.', 'Haga lo que falta; si no, el pase lo lleva.'],
  ['The store cannot be read.', 'El almacén no se puede leer.'],
  ['The check did not come to its end: {}', 'La comprobación no llegó a su fin: {1}'],
  [
    "The truck's disk is full and nothing was entered: free space, then enter it again.",
    'El disco del camión está lleno y no se anotó nada: libere espacio y anótelo otra vez.',
  ],
  [
    'The store cannot be used at this moment: try again.',
    'El almacén no se puede usar en este momento: intente otra vez.',
  ],
  ['Something failed here; the log has it under {}.', 'Algo falló aquí; el diario lo tiene con {1}.'],
  ['A text of the body is broken: {}.', 'Un texto de lo enviado está roto: {1}.'],
  ['A body is at most 64 KB.', 'Lo enviado puede tener como mucho 64 KB.'],
  ['The body is not JSON.', 'Lo enviado no es JSON.'],
  ['There is no such file here.', 'Aquí no hay tal archivo.'],
  ['The request cannot be read.', 'La petición no se puede leer.'],
  ['There is no {} {}.', 'No existe {1} {2}.'],
  ['Requests from another web page are not answered.', 'No se contestan peticiones de otra página web.'],
  ['The body is not valid at {}: {}.', 'Lo enviado no es válido en {1}: {2}.'],
  ['The body is not valid: {}.', 'Lo enviado no es válido: {1}.'],
  ['The query is not valid at {}: {}.', 'La consulta no es válida en {1}: {2}.'],
  ['The {} is not valid at {}: {}.', 'No es válido {1} en {2}: {3}.'],
  ['The {} is not valid: {}.', 'No es válido {1}: {2}.'],
  ['The range ends before it begins.', 'El intervalo termina antes de empezar.'],
  [
    'A range of samples is at most 12 hours; ask for it in parts.',
    'Un intervalo de muestras es de 12 horas como mucho; pídalo por partes.',
  ],
  [
    '{} is signed in: what is entered here is entered under that name.',
    '{1} tiene la sesión abierta: lo que se anota aquí se anota con ese nombre.',
  ],
  ['Sign in to do this.', 'Inicie sesión para hacerlo.'],
  [
    'Nothing was entered with this session for a while: sign in again to go on. Nothing is lost.',
    'Hace un rato que no se anota nada en esta sesión: inicie sesión otra vez para seguir. No se pierde nada.',
  ],
  ['That session is over already.', 'Esa sesión ya terminó.'],
  [
    'Sign-in links are given by the program of a demo only.',
    'Los enlaces de inicio de sesión solo los da el programa de una demostración.',
  ],
  ['{} has an account already.', '{1} ya tiene una cuenta.'],
  [
    'Somebody signs in as {} already: take another name.',
    'Alguien ya inicia sesión como {1}: tome otro nombre.',
  ],
  ['Person {} is not among the people here.', 'La persona {1} no está entre las de aquí.'],
  ['{} has no open account.', '{1} no tiene cuenta abierta.'],
  [
    '{} is the only administrator: make somebody else one first.',
    '{1} es el único administrador: nombre primero a otro.',
  ],
  [
    'That is one of the first that anybody tries: take several words that do not belong together.',
    'Esa es de las primeras que cualquiera prueba: tome varias palabras que no vayan juntas.',
  ],
  [
    '{} has set no passphrase yet: set one first, then sign.',
    '{1} todavía no ha fijado una frase de paso: fije primero una y firme después.',
  ],
  [
    'After a wrong passphrase the next try waits: again in {} s.',
    'Tras una frase de paso equivocada hay que esperar: otra vez dentro de {1} s.',
  ],
  [
    'After a wrong one the next try waits: again in {} s.',
    'Tras una equivocada hay que esperar: otra vez dentro de {1} s.',
  ],
  [
    'That is not the passphrase of {}: nothing was signed.',
    'Esa no es la frase de paso de {1}: no se firmó nada.',
  ],
  [
    'Too many passphrases are tried at once: again in 1 s.',
    'Se prueban demasiadas frases de paso a la vez: otra vez dentro de 1 s.',
  ],
  [
    'That name and passphrase do not belong together, or there is no such account.',
    'Ese nombre y esa frase de paso no van juntos, o no existe tal cuenta.',
  ],
  [
    'That code is not right, was used already, or its time is over: ask for a new one.',
    'Ese código no es correcto, ya se usó, o pasó su tiempo: pida uno nuevo.',
  ],
  [
    'No samples of pass {} are stored that replay can read.',
    'No hay guardadas muestras del pase {1} que se puedan repetir.',
  ],
  [
    'Another export is being made: wait for it, or cancel it.',
    'Ya se está haciendo otra exportación: espérela, o cancélela.',
  ],
  ['{} is not a day of the calendar.', '{1} no es un día del calendario.'],
  ['No pass of any joint began on {} ({}).', 'Ningún pase de ninguna junta empezó el {1} ({2}).'],
  ['There is no export {} here, or none any more.', 'Aquí no hay ninguna exportación {1}, o ya no la hay.'],
  [
    'Many reports are being made already: try again in a moment.',
    'Ya se hacen muchos informes: intente otra vez en un momento.',
  ],
  [
    'Two exports are being sent already: try again when they are done.',
    'Ya se envían dos exportaciones: intente otra vez cuando terminen.',
  ],
  [
    'The table is empty: its first row names the columns.',
    'La tabla está vacía: su primera fila nombra las columnas.',
  ],
  ['Column "{}" is missing in the first row.', 'Falta la columna "{1}" en la primera fila.'],
  ['Column "{}" is not known: use {}.', 'La columna "{1}" no se conoce: use {2}.'],
  ['Row {}, {}: "{}" is not a number.', 'Fila {1}, {2}: "{3}" no es un número.'],
  ['Row {}: the label "{}" stands twice.', 'Fila {1}: la etiqueta "{2}" está dos veces.'],
  [
    'The table has no row besides the names of its columns.',
    'La tabla no tiene más filas que los nombres de sus columnas.',
  ],
  [
    'The table is empty: its first line names the columns.',
    'La tabla está vacía: su primera línea nombra las columnas.',
  ],
  [
    'Line 1: there is no column "{}"; the columns are {}.',
    'Línea 1: no existe la columna "{1}"; las columnas son {2}.',
  ],
  ['Line 1: the column {} stands twice.', 'Línea 1: la columna {1} está dos veces.'],
  ['Line 1: the column {} is missing.', 'Línea 1: falta la columna {1}.'],
  [
    'Line {}: {} cells where the first line names {} columns.',
    'Línea {1}: {2} celdas donde la primera línea nombra {3} columnas.',
  ],
  [
    'Line {}, column {}: "{}" is not a number such as 7.5.',
    'Línea {1}, columna {2}: "{3}" no es un número como 7.5.',
  ],
  ['Line {}, column pass: every line names its pass.', 'Línea {1}, columna pass: cada línea nombra su pase.'],
  [
    'Line {}, column quantity: a limit names its quantity.',
    'Línea {1}, columna quantity: un límite nombra su magnitud.',
  ],
  ['The table names no pass.', 'La tabla no nombra ningún pase.'],
  ['Line {}: not RFC 4180 text: {}.', 'Línea {1}: no es texto RFC 4180: {2}.'],
  [
    'Pass "{}", {}, {}: {} mm/s is outside what a rig can do, {} to {} mm/s.',
    'Pase "{1}", {2}, {3}: {4} mm/s está fuera de lo que puede un equipo, de {5} a {6} mm/s.',
  ],
  ['{}: min {} is not below max {}', '{1}: el mín {2} no es menor que el máx {3}'],
  ['{}: nominal {} is below min {}', '{1}: el nominal {2} es menor que el mín {3}'],
  ['{}: nominal {} is above max {}', '{1}: el nominal {2} es mayor que el máx {3}'],
  ['{}: a tolerance needs a nominal', '{1}: una tolerancia necesita un nominal'],
  ['{}: give a tolerance or min/max, not both', '{1}: dé una tolerancia o mín/máx, no ambas'],
  ['{}: exact stands alone', '{1}: exacto va solo'],
  ['{}: give min, nominal, max or exact', '{1}: dé mín, nominal, máx o exacto'],
  ['limit on {}', 'límite de {1}'],
  ['pass "{}" stands twice', 'el pase "{1}" está dos veces'],
];
