<?php
error_reporting(E_ERROR);
require 'Sabre/VObject/autoload.php';
$root = Sabre\VObject\Reader::read(file_get_contents($argv[1]));
$found = [];
foreach ($root->VEVENT as $e) {
  $alarms = [];
  $start = $e->DTSTART->getDateTime()->getTimestamp();
  if (isset($e->VALARM)) foreach ($e->VALARM as $a) $alarms[] = $a->getEffectiveTriggerTime()->getTimestamp() - $start;
  $found[(string)$e->UID] = [$start, $e->DTEND->getDateTime()->getTimestamp(), $alarms];
}
echo json_encode($found);
