"""Word lists of blanking: what is no name though it stands where one could, and what only looks like a plate."""

from typing import Final

_TITLES_AND_FIRMS: Final = """
mr mrs ms miss dr prof herr frau señor señora sr sra von van der den del los las the and und por para ltd limited gmbh
inc llc plc company services service group garage auto autos motors motor transport transports logistics taxi taxis
cars vans fleet hire rental rentals repair repairs workshop city council school church hospital police fire post
delivery deliveries courier couriers plumbing electric electrical electrics building builders construction cleaning
bakery farm farms trading customer owner private unknown
"""
_TRADE_AND_NAMES: Final = """
belt berg black block blue board bolt bond brand bright brook brooks brown burn burns bush bushes camp carter case
cash chain chance church clamp clay close coil cole cook cooper copper core cross dale day dean dent dial dish drive
driver duke dunn earth edge english field fields fisher flint flood flow forest fox frame frank frost fuse gates gear
glass gold good grant gray green grey grill hall hammer hand hands hart head heath hill hood horn hose house hunt jack
joint key king knight lake lamb land lane last law leak lever light link load lock long low major manual mark marks
marsh mason may mean miles mills moon more moss nail noble nut oil open pace page park parker parks part pin pink pipe
plug pole pool port post potter power price prince pulley pump reed rice ridge ring rivers rock rod root roper rose
rotor rush sand sands seal sensor shaft sharp shield shock shore short side silver singer small smart smoke snow speed
spring starter stark steel steele stone stones stop street strong summer summers sun swift switch tank tanner taper
temple thorn town track true trunk turner tyre underwood valve violet wall walls ward water waters weaver webb weld
wells west wheel wheeler white wild will winter wire wise wolf wood woods worth young banks coal
"""
_AFTER_CUSTOMER: Final = """
The This That These Those Left Right Front Rear Side Door Doors Seat Window Brake Brakes Engine Steering Says Said
Reports Reported States Complains Complained Wants Wanted Noticed Heard Hears Cold Hot Check Checked Battery Fuse
Relay Sensor Module Pump Valve Workshop Technician Lead Nobody Everybody Anyone Someone Customer Owner Driver
"""
_PLATE_LIKE: Final = """
RPM MPH KPH PSI KPA LBS FTL PPM VDC VAC DTC PCM BCM TCM ECM ABS SRS HPM CKP CMP MAP MAF IAT ECT TPS EGR PCV GND PWM LF
RF LR RR FL FR RL CAN LIN BUS OBD TDC BDC BTC ATC PVC HVB BMS DC AC HV LV TP VSS GEN ACL MIL VIN SAE ISO EN DIN
"""

_COMMON: Final = """
january february march april may june july august september october november december monday tuesday wednesday
thursday friday saturday sunday mondays tuesdays wednesdays thursdays fridays saturdays sundays easter christmas drop
mohm ohm ohms volt volts amp amps watt watts celsius fahrenheit newton pascal hertz drive reverse neutral sport eco
normal run start acc lock unlock airbag airbags wheel wheels airbus never let what when where which who why how not
but and then than with without from into only still again also both each every any all one two three four five six
seven eight nine ten same see yes good bad new old low high open closed short long first second third next last no
none nothing there here they she her his him their you your our was were has have had will would can could should must
does did done make made take taken keep kept fit fitted test tested read find found english german french spanish
italian british european american torx allen hall zener bluetooth internet ethernet lithium diesel petrol hybrid
markdown excel note notes caution warning danger figure table page bay lift ramp yard
"""

NOT_NAMES: Final = frozenset(_TITLES_AND_FIRMS.split())
"""Parts of a customer's name that are no name of anybody."""
TRADE_WORDS: Final = frozenset(_TRADE_AND_NAMES.split())
"""Words of the trade that are also family names: taken for a name only with a capital letter."""
NO_NAMES: Final = frozenset(_AFTER_CUSTOMER.split())
"""Words with a capital that follow *customer* or *owner* and name nobody."""
PLATE_LIKE: Final = frozenset(_PLATE_LIKE.split())
"""Abbreviations of the trade that fit the shape of a plate: 1200 RPM, LF-RF 12, CAN-H 250."""
COMMON_WORDS: Final = frozenset(_COMMON.split())
"""Words that are written with a capital now and then and name nobody, in small letters."""
