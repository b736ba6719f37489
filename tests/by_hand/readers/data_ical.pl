use strict; use warnings;
use Data::ICal; use JSON::PP; use Time::Local;
sub at { my ($v) = @_; $v =~ /^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z$/ or die "not UTC: $v"; return timegm($6, $5, $4, $3, $2 - 1, $1); }
sub span { my ($v) = @_; $v =~ /^(-?)P(?:(\d+)D)?(?:T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?)?$/ or die "no duration: $v";
  my $s = (($2 // 0) * 24 + ($3 // 0)) * 3600 + ($4 // 0) * 60 + ($5 // 0); return $1 ? -$s : $s; }
my $root = Data::ICal->new(filename => $ARGV[0]) or die "cannot read";
my %found;
for my $e (@{ $root->entries }) {
  next unless $e->ical_entry_type eq "VEVENT";
  my @alarms = map { span($_->property("trigger")->[0]->value) + 0 } @{ $e->entries };
  $found{ $e->property("uid")->[0]->value } = [ at($e->property("dtstart")->[0]->value), at($e->property("dtend")->[0]->value), \@alarms ];
}
print encode_json(\%found);
