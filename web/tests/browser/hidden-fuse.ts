/** A made-up pickup whose body ground is one thin wire: a fuse that nobody calls one. */
export const HIDDEN_FUSE = `format = 1

[vehicle]
name = "Pickup with a thin body wire"
nominal = "12 V"
states = ["cranking", "running"]

[batteries.main]
capacity = "70 Ah"
cranking = "640 A"
charge = "80 %"
at = ["0.5 m", "0.6 m"]

[structures.block]
name = "engine block"
resistance = "0.03 mΩ"
points.front = { at = ["0.6 m", "0 m"] }
points.rear = { at = ["-0.1 m", "-0.1 m"] }

[structures.body]
sheet = "0.9 mm"
points.left = { at = ["0.1 m", "0.7 m"] }
points.dash = { at = ["-1.0 m", "0.3 m"] }

[conductors.main-negative]
from = { point = "main/-", joint = "post clamp" }
to = "block/rear"
size = "35 mm²"
length = "0.8 m"

[conductors.body-wire]
from = "main/-"
to = "body/left"
size = "4 mm²"
length = "0.5 m"
insulation = "PVC 105"

[conductors.block-strap]
from = "block/front"
to = "body/left"
size = "braid 10 mm²"
length = "0.3 m"

[incidental.throttle]
kind = "control cable"
from = "block/front"
to = "body/dash"

[loads.starter]
kind = "starter"
draws = "260 A"
minimum = "8 V"
importance = "vital"
at = ["-0.3 m", "-0.4 m"]
feed = { from = "main/+", size = "35 mm²", length = "1.2 m" }
case = "block/rear"

[loads.headlamps]
kind = "lamp"
draws = "120 W"
on = ["running"]
at = ["0.8 m", "-0.6 m"]
feed = { from = "main/+", fuse = "15 A", size = "2.5 mm²", length = "2 m" }
return = { to = "body/left", size = "2.5 mm²", length = "0.3 m" }
`;
