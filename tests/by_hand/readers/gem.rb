require "stringio"
require "icalendar"
require "json"
found = {}
Icalendar::Calendar.parse(File.read(ARGV[0], encoding: "utf-8")).first.events.each do |e|
  alarms = e.alarms.map { |a| d = a.trigger; s = ((d.weeks * 7 + d.days) * 24 + d.hours) * 3600 + d.minutes * 60 + d.seconds; d.past ? -s : s }
  found[e.uid.to_s] = [e.dtstart.to_time.to_i, e.dtend.to_time.to_i, alarms]
end
puts JSON.generate(found)
