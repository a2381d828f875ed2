import type { Phrase } from './phrase-book.ts';

/** Spanish: alarms of the edges, conditions of the truck, and what a source says of itself. */
export const ALARM_PHRASES: readonly Phrase[] = [
  ['{} ({}).', '{1} ({2}).'],
  ['joint {}, side {}, {}', 'junta {1}, lado {2}, {3}'],
  ['no joint assigned', 'sin junta asignada'],
  ['The arc was on and no data arrives ({}).', 'Había arco y no llegan datos ({1}).'],
  [
    'The arc was on and the readings no longer change ({}).',
    'Había arco y las lecturas ya no cambian ({1}).',
  ],
  [
    'Check the sensor box, its supply and its cable. What is welded meanwhile is not recorded.',
    'Revise la caja de sensores, su alimentación y su cable. Lo que se suelda mientras tanto no se registra.',
  ],
  [
    'Recording has failed: the store of this edge takes no data.',
    'Falló el registro: el almacén de esta unidad de captura no admite datos.',
  ],
  [
    'Free disk space or change the storage of the edge. Note the joint by hand meanwhile.',
    'Libere espacio en disco o cambie el almacenamiento de la unidad de captura. Mientras tanto anote la junta a mano.',
  ],
  [
    'Compare the program selected on the rig with the pass assigned; tell the welding inspector.',
    'Compare el programa elegido en el equipo con el pase asignado; avise al inspector de soldadura.',
  ],
  [
    'Check the setting against the welding procedure; tell the welding inspector.',
    'Compare el ajuste con el procedimiento de soldadura; avise al inspector de soldadura.',
  ],
  [
    'The store of this edge is slow: the newest seconds are only in memory.',
    'El almacén de esta unidad de captura va lento: los últimos segundos solo están en memoria.',
  ],
  [
    'Do not switch the edge off now; have its storage checked.',
    'No apague ahora la unidad de captura; haga revisar su almacenamiento.',
  ],
  [
    'The store was damaged and moved aside; a new one is in use.',
    'El almacén se dañó y se apartó; se usa uno nuevo.',
  ],
  ['Keep the file for the data manager: {}', 'Guarde el archivo para el responsable de datos: {1}'],
  [
    'Data is kept on the edge and waits to be taken over.',
    'Los datos se guardan en la unidad de captura y esperan a ser recogidos.',
  ],
  [
    'Nothing is lost. Check the link to the truck this shift.',
    'No se pierde nada. Revise en este turno el enlace con el camión.',
  ],
  // One to four quantities at once, each with its limits, then the work.
  ['{} ({}): out of range ({}).', '{1} ({2}): fuera de rango ({3}).'],
  ['{} ({}), {} ({}): out of range ({}).', '{1} ({2}), {3} ({4}): fuera de rango ({5}).'],
  ['{} ({}), {} ({}), {} ({}): out of range ({}).', '{1} ({2}), {3} ({4}), {5} ({6}): fuera de rango ({7}).'],
  [
    '{} ({}), {} ({}), {} ({}), {} ({}): out of range ({}).',
    '{1} ({2}), {3} ({4}), {5} ({6}), {7} ({8}): fuera de rango ({9}).',
  ],
  ['{}: out of range, limits {} to {} {}', '{1}: fuera de rango, límites de {2} a {3} {4}'],
  ['{}: out of range', '{1}: fuera de rango'],
  ['limits {} to {} {}', 'límites de {1} a {2} {3}'],
  ['not below {} {}', 'no por debajo de {1} {2}'],
  ['not above {} {}', 'no por encima de {1} {2}'],
  ['no limit', 'sin límite'],
  ['Looks like: {}; not a verdict.', 'Parece: {1}; no es un dictamen.'],
  ['{} changes hold.', '{1} cambios se mantienen.'],
  [
    'Look at wire, tip, earth and stick-out of this side; tell the welding inspector before the limit is met.',
    'Mire alambre, punta, masa y extensión de este lado; avise al inspector de soldadura antes de llegar al límite.',
  ],
  [
    'The disk of this edge is full: what has waited longest is kept only as least, mean and greatest of each second.',
    'El disco de esta unidad de captura está lleno: lo que más espera se guarda solo como menor, media y mayor de cada segundo.',
  ],
  [
    'The disk of this edge is full: older samples give way to new ones as long as there are any.',
    'El disco de esta unidad de captura está lleno: las muestras más antiguas ceden ante las nuevas mientras las haya.',
  ],
  [
    'Bring back the link to the truck, or free disk space. Passes and events are all kept.',
    'Restablezca el enlace con el camión, o libere espacio en disco. Pases y eventos se conservan todos.',
  ],
  ['The disk of this edge is filling up: {}.', 'El disco de esta unidad de captura se está llenando: {1}.'],
  ['{} % left', 'queda {1} %'],
  [
    'Bring back the link to the truck, or free disk space, before samples have to be thinned.',
    'Restablezca el enlace con el camión, o libere espacio en disco, antes de que haya que reducir muestras.',
  ],
  [
    'Tell the data manager: the log of the dashboard names the record. Nothing that was stored is lost.',
    'Avise al responsable de datos: el diario del panel nombra el registro. No se pierde nada de lo guardado.',
  ],
  [
    'A record did not carry the hash of its content: it was refused.',
    'Un registro no llevaba el resumen de su contenido: se rechazó.',
  ],
  [
    'A record of another rig came on this rig’s topic: it was refused.',
    'Un registro de otro equipo llegó por el canal de este equipo: se rechazó.',
  ],
  ['A record names two origins: it was refused.', 'Un registro nombra dos orígenes: se rechazó.'],
  [
    'A record is kept, but its content cannot be read.',
    'Un registro se guarda, pero su contenido no se puede leer.',
  ],
  [
    'Samples of a record cannot be decoded: the record is kept as it came.',
    'Las muestras de un registro no se pueden descifrar: el registro se guarda como llegó.',
  ],
  [
    'Two different records carry one number: both are kept.',
    'Dos registros distintos llevan un mismo número: se guardan ambos.',
  ],
  [
    'A record does not follow the one before it: it is kept, not acknowledged.',
    'Un registro no sigue al anterior: se guarda, no se confirma.',
  ],
  [
    'A record holds a pass of another rig: it was left out.',
    'Un registro contiene un pase de otro equipo: se dejó fuera.',
  ],
  [
    'More records come than the store takes: they are left for the edges to send again.',
    'Llegan más registros de los que el almacén admite: quedan para que las unidades de captura los envíen otra vez.',
  ],
  [
    'Find out at the board whose configuration it has, or who has its key: girthlog-dashboard revoke takes its access back.',
    'Averigüe en la placa de quién es su configuración, o quién tiene su clave: girthlog-dashboard revoke le retira el acceso.',
  ],
  [
    'Somebody without valid credentials tries to connect to the broker: {}.',
    'Alguien sin credenciales válidas intenta conectarse al broker: {1}.',
  ],
  [
    '{} tries to connect with credentials that do not count any more: it was refused.',
    '{1} intenta conectarse con credenciales que ya no valen: se rechazó.',
  ],
  [
    'A board of this truck: enrol it (girthlog-dashboard enrol SITE/RIG). Another one: find out where it is. It records meanwhile.',
    'Una placa de este camión: inscríbala (girthlog-dashboard enrol SITE/RIG). Otra: averigüe dónde está. Mientras tanto registra.',
  ],
  [
    '{} tried to speak on {}, which is not its own: it was refused.',
    '{1} intentó hablar en {2}, que no es suyo: se rechazó.',
  ],
  [
    '{} tried to leave a last word on {}, which is not its own: it was refused.',
    '{1} intentó dejar una última palabra en {2}, que no es suyo: se rechazó.',
  ],
  [
    '{} tried to listen to {}, which is not its own: it was refused.',
    '{1} intentó escuchar {2}, que no es suyo: se rechazó.',
  ],
  [
    '{} tried to connect under the name {}, which is not its own: it was refused.',
    '{1} intentó conectarse con el nombre {2}, que no es suyo: se rechazó.',
  ],
  [
    'The edge of {} says nothing though the broker still has it.',
    'La unidad de captura de {1} no dice nada aunque el broker aún la tiene.',
  ],
  ['The edge of {} is not connected.', 'La unidad de captura de {1} no está conectada.'],
  [
    'The arc was on; whether it is recorded cannot be seen from here.',
    'Había arco; desde aquí no se puede ver si se registra.',
  ],
  [
    'Check that the edge computer runs, and its link. What it records is kept there until it returns.',
    'Revise que el ordenador de captura funcione, y su enlace. Lo que registra se guarda allí hasta que vuelva.',
  ],
  [
    'The dashboard has no connection to the broker: nothing new arrives from any rig.',
    'El panel no tiene conexión con el broker: no llega nada nuevo de ningún equipo.',
  ],
  [
    'Check the broker and the network to it. Edges keep what they record.',
    'Revise el broker y la red hasta él. Las unidades de captura guardan lo que registran.',
  ],

  ['less than a day', 'menos de un día'],
  ['{} days', '{1} días'],
  [
    "The truck's disk has {} % free ({} GB), enough for {} at the pace of the busiest day.",
    'El disco del camión tiene {1} % libre ({2} GB), suficiente para {3} al ritmo del día más activo.',
  ],
  ["The truck's disk has {} % free ({} GB).", 'El disco del camión tiene {1} % libre ({2} GB).'],
  [
    'Make a backup, then free space or have a larger disk put in. Recording goes on.',
    'Haga una copia de seguridad y después libere espacio o haga poner un disco mayor. El registro sigue.',
  ],
  [
    "The log beside the truck's store has grown to {} MB: something reads the store and does not let go.",
    'El diario junto al almacén del camión ha crecido hasta {1} MB: algo lee el almacén y no lo suelta.',
  ],
  [
    'End other programs that have the store open. A backup in progress does this too, and ends by itself.',
    'Cierre otros programas que tengan abierto el almacén. Una copia en curso también lo hace, y termina sola.',
  ],
  [
    "The truck's store was damaged and moved aside; a new one is in use. The edges send again what they still hold.",
    'El almacén del camión se dañó y se apartó; se usa uno nuevo. Las unidades de captura envían otra vez lo que aún tienen.',
  ],
  [
    'Restore the last backup beside it and have {} looked at; moved elsewhere, this ends.',
    'Restaure al lado la última copia y haga mirar {1}; movido a otro sitio, esto termina.',
  ],
  [
    "The truck's disk is full: nothing new is stored here. The edges keep what they record.",
    'El disco del camión está lleno: aquí no se guarda nada nuevo. Las unidades de captura guardan lo que registran.',
  ],
  [
    'Free space on the truck. It goes on by itself, and nothing is lost that the edges can hold.',
    'Libere espacio en el camión. Sigue solo, y no se pierde nada que quepa en las unidades de captura.',
  ],
  [
    "The truck's store takes nothing for now ({}). The edges keep what they record.",
    'El almacén del camión no admite nada por ahora ({1}). Las unidades de captura guardan lo que registran.',
  ],
  [
    'End other programs that use the store; check that its disk is mounted for writing.',
    'Cierre otros programas que usen el almacén; revise que su disco admita escritura.',
  ],
  ['the truck', 'el camión'],
  [
    'The certificate of {} ends on {}, and {} more after it: nothing connects with it after that.',
    'El certificado de {1} vence el {2}, y {3} más después: tras esa fecha nada se conecta con él.',
  ],
  [
    'The certificate of {} ends on {}: nothing connects with it after that.',
    'El certificado de {1} vence el {2}: tras esa fecha nada se conecta con él.',
  ],
  [
    'Put a new certificate and key in place of tls_certificate and tls_key: they are read again within the hour.',
    'Ponga un certificado y una clave nuevos en lugar de tls_certificate y tls_key: se vuelven a leer en menos de una hora.',
  ],
  [
    'Enrol the board again: girthlog-dashboard enrol {}.',
    'Inscriba otra vez la placa: girthlog-dashboard enrol {1}.',
  ],

  ['{} is read to its end', '{1} está leído hasta el final'],
  ['{} is gone', '{1} ha desaparecido'],
  ['{} does not answer', '{1} no responde'],
  [
    '{} is gone: trying again in {}, or as soon as it is back',
    '{1} ha desaparecido: se intenta otra vez en {2}, o en cuanto vuelva',
  ],
  ['{} is gone: trying again in {}', '{1} ha desaparecido: se intenta otra vez en {2}'],
  ['{} is open, but {}: opening it again in {}', '{1} está abierto, pero {2}: se abre otra vez en {3}'],
  ['no frame has come', 'no ha llegado ninguna trama'],
  ['what comes is no frame of this format', 'lo que llega no es ninguna trama de este formato'],
  [
    'it announces itself in a version of the frames that is not known here',
    'se anuncia con una versión de las tramas que aquí no se conoce',
  ],
  ['no sample comes', 'no llega ninguna muestra'],
  ['opening the line again', 'se abre otra vez la línea'],
  ['waiting for the device to announce its channels', 'esperando a que el dispositivo anuncie sus canales'],
  [
    '{} is not there: trying again in {}, or as soon as it is back',
    '{1} no está: se intenta otra vez en {2}, o en cuanto vuelva',
  ],
  ['{} is not there: trying again in {}', '{1} no está: se intenta otra vez en {2}'],
  ['{}: trying again in {}, or as soon as it is back', '{1}: se intenta otra vez en {2}, o en cuanto vuelva'],
  ['{}: trying again in {}', '{1}: se intenta otra vez en {2}'],
  ['{} is not there', '{1} no está'],
  [
    'no permission to open {}: add the user to the group dialout (sudo usermod -aG dialout USER) and log in again',
    'sin permiso para abrir {1}: añada el usuario al grupo dialout (sudo usermod -aG dialout USER) y entre otra vez',
  ],
  ['{} is in use by another program: close that one', '{1} lo usa otro programa: ciérrelo'],
  [
    '{} refuses the connection: is the device server on and the port number right?',
    '{1} rechaza la conexión: ¿está encendido el servidor del dispositivo y es correcto el puerto?',
  ],
  ['{}: there is no host of that name', '{1}: no hay ningún equipo de red con ese nombre'],
  [
    '{} does not answer: is it on and the cable in?',
    '{1} no responde: ¿está encendido y con el cable puesto?',
  ],
  ['{} cannot be used: {}', '{1} no se puede usar: {2}'],
  ['the connection was closed', 'la conexión se cerró'],
  ['the link is not open', 'el enlace no está abierto'],
  [
    'it answers function {} at address {} with exception {}',
    'responde a la función {1} en la dirección {2} con la excepción {3}',
  ],
  ['no answer comes: is the unit number right?', 'no llega respuesta: ¿es correcto el número de unidad?'],
];
