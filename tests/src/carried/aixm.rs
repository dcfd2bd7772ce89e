//! AIXM messages for tests: a small invented field, member by member.

/// A uuid by a small number.
pub fn uuid(n: u32) -> String {
    format!("{n:08x}-0000-4000-8000-00000000a1c5")
}

/// A message of members in the namespaces that files use.
pub fn message(members: &[String]) -> String {
    let inside: String = members
        .iter()
        .map(|m| format!("<message:hasMember>\n{m}\n</message:hasMember>\n"))
        .collect();
    around(&inside)
}

/// The message around something that need not be sound.
pub fn around(inside: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<message:AIXMBasicMessage xmlns:message=\"http://www.aixm.aero/schema/5.1.1/message\" \
         xmlns:aixm=\"http://www.aixm.aero/schema/5.1.1\" xmlns:gml=\"http://www.opengis.net/gml/3.2\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" gml:id=\"M\">\n\
         {inside}</message:AIXMBasicMessage>\n"
    )
}

/// A feature with one BASELINE from the beginning of 2026 on. What is inside is in the namespace of AIXM without a prefix.
pub fn feature(kind: &str, n: u32, inside: &str) -> String {
    feature_of(kind, n, &[slice("BASELINE", 1, "2026-01-01T00:00:00Z", "", inside)])
}

/// A feature of time slices.
pub fn feature_of(kind: &str, n: u32, slices: &[String]) -> String {
    let id = uuid(n);
    let slices: String = slices
        .iter()
        .map(|s| format!("<timeSlice><{kind}TimeSlice>{s}</{kind}TimeSlice></timeSlice>"))
        .collect();
    format!(
        "<{kind} xmlns=\"http://www.aixm.aero/schema/5.1.1\" gml:id=\"uuid.{id}\"><gml:identifier codeSpace=\"urn:uuid:\">{id}\
         </gml:identifier>{slices}</{kind}>"
    )
}

/// What a time slice holds.
pub fn slice(interpretation: &str, sequence: u32, from: &str, to: &str, inside: &str) -> String {
    let end = if to.is_empty() {
        "<gml:endPosition indeterminatePosition=\"unknown\"/>".to_string()
    } else {
        format!("<gml:endPosition>{to}</gml:endPosition>")
    };
    format!(
        "<gml:validTime><gml:TimePeriod gml:id=\"t{sequence}\"><gml:beginPosition>{from}</gml:beginPosition>{end}</gml:TimePeriod>\
         </gml:validTime><interpretation>{interpretation}</interpretation><sequenceNumber>{sequence}</sequenceNumber>\
         <correctionNumber>0</correctionNumber>{inside}"
    )
}

/// A reference.
pub fn to(property: &str, n: u32) -> String {
    format!("<{property} xlink:href=\"urn:uuid:{}\"/>", uuid(n))
}

/// The reference system that files use.
pub const LAT_FIRST: &str = "urn:ogc:def:crs:EPSG::4326";

/// A property that holds a point; numbers as they are to stand there.
pub fn point(property: &str, numbers: &str) -> String {
    format!(
        "<{property}><ElevatedPoint srsName=\"{LAT_FIRST}\"><gml:pos>{numbers}</gml:pos></ElevatedPoint></{property}>"
    )
}

/// A property that holds a curve of segments.
pub fn curve(property: &str, segments: &str) -> String {
    format!(
        "<{property}><ElevatedCurve srsName=\"{LAT_FIRST}\"><gml:segments>{segments}</gml:segments>\
         <horizontalAccuracy uom=\"M\">0.3</horizontalAccuracy></ElevatedCurve></{property}>"
    )
}

/// A geodesic segment.
pub fn geodesic(numbers: &str) -> String {
    format!("<gml:GeodesicString><gml:posList>{numbers}</gml:posList></gml:GeodesicString>")
}

/// A property that holds a surface whose border has these segments.
pub fn surface(property: &str, segments: &str) -> String {
    format!(
        "<{property}><ElevatedSurface srsName=\"{LAT_FIRST}\"><gml:patches><gml:PolygonPatch><gml:exterior><gml:Ring><gml:curveMember>\
         <Curve><gml:segments>{segments}</gml:segments></Curve></gml:curveMember></gml:Ring></gml:exterior></gml:PolygonPatch>\
         </gml:patches></ElevatedSurface></{property}>"
    )
}

/// A place beside the field, numbers as they stand in a message: metres east and north of its middle, roughly.
pub fn beside(east_m: f64, north_m: f64) -> String {
    let (lat, lon) = (47.2 + north_m / 111_180.0, -20.4 + east_m / 75_700.0);
    format!("{lat:.9} {lon:.9}")
}

/// The border of a box between two corners.
pub fn box_of(low: (f64, f64), high: (f64, f64)) -> String {
    let corners = [low, (high.0, low.1), high, (low.0, high.1), low];
    let list: Vec<String> = corners.iter().map(|(x, y)| beside(*x, *y)).collect();
    geodesic(&list.join(" "))
}

/// The numbers of the field's features.
pub mod number {
    #![allow(missing_docs)]
    pub const AIRPORT: u32 = 1;
    pub const RUNWAY: u32 = 2;
    pub const RUNWAY_08: u32 = 3;
    pub const RUNWAY_26: u32 = 4;
    pub const POINTS: u32 = 10;
    pub const TAXIWAY: u32 = 20;
    pub const LINE: u32 = 21;
    pub const LEAD_IN: u32 = 22;
    pub const HOLD: u32 = 23;
    pub const TAXIWAY_ELEMENT: u32 = 24;
    pub const RUNWAY_ELEMENT: u32 = 25;
    pub const APRON: u32 = 30;
    pub const APRON_ELEMENT: u32 = 31;
    pub const STAND: u32 = 32;
    pub const HANGAR: u32 = 40;
    pub const WORKS: u32 = 50;
}

/// A feature as a test changes it: kind, number, what is inside.
pub type Part = (&'static str, u32, String);

/// The field: one runway, one taxiway with its line, a stand with its lead-in line.
pub fn parts() -> Vec<Part> {
    use number as n;
    let surfaced = |code: &str| {
        format!(
            "<surfaceProperties><SurfaceCharacteristics><composition>{code}</composition></SurfaceCharacteristics></surfaceProperties>"
        )
    };
    let mark = |role: &str, direction: u32, place: (f64, f64)| {
        format!(
            "<role>{role}</role>{}{}",
            point("location", &beside(place.0, place.1)),
            to("onRunway", direction)
        )
    };
    let (west, east) = ((-450.0, 0.0), (450.0, 150.0));
    vec![
        (
            "AirportHeliport",
            n::AIRPORT,
            format!(
                "<designator>QLM</designator><name>QUILLMERE</name><locationIndicatorICAO>ZZZZ</locationIndicatorICAO><type>AD</type>\
                 <fieldElevation uom=\"FT\">100</fieldElevation>{}",
                point("ARP", &beside(0.0, 0.0))
            ),
        ),
        (
            "Runway",
            n::RUNWAY,
            format!(
                "<designator>08/26</designator><type>RWY</type><nominalWidth uom=\"M\">23</nominalWidth>{}{}",
                surfaced("ASPH"),
                to("associatedAirportHeliport", n::AIRPORT)
            ),
        ),
        (
            "RunwayDirection",
            n::RUNWAY_08,
            format!("<designator>08</designator>{}", to("usedRunway", n::RUNWAY)),
        ),
        (
            "RunwayDirection",
            n::RUNWAY_26,
            format!("<designator>26</designator>{}", to("usedRunway", n::RUNWAY)),
        ),
        ("RunwayCentrelinePoint", n::POINTS, mark("START", n::RUNWAY_08, west)),
        ("RunwayCentrelinePoint", n::POINTS + 1, mark("END", n::RUNWAY_08, east)),
        (
            "RunwayCentrelinePoint",
            n::POINTS + 2,
            mark("START", n::RUNWAY_26, east),
        ),
        ("RunwayCentrelinePoint", n::POINTS + 3, mark("THR", n::RUNWAY_26, east)),
        (
            "Taxiway",
            n::TAXIWAY,
            format!(
                "<designator>B</designator><type>GND</type><width uom=\"FT\">35</width>{}{}",
                surfaced("ASPH"),
                to("associatedAirportHeliport", n::AIRPORT)
            ),
        ),
        (
            "GuidanceLine",
            n::LINE,
            format!(
                "<designator>LINE_B</designator><type>TWY</type><maxSpeed uom=\"KT\">10</maxSpeed><usageDirection>BOTH</usageDirection>{}{}",
                to("connectedTaxiway", n::TAXIWAY),
                curve(
                    "extent",
                    &geodesic(&format!("{} {}", beside(0.0, 75.0), beside(20.0, -150.0)))
                )
            ),
        ),
        (
            "GuidanceLine",
            n::LEAD_IN,
            format!(
                "<type>LI_TLANE</type><maxSpeed uom=\"KM_H\">8</maxSpeed><usageDirection>FORWARD</usageDirection>{}{}{}",
                to("connectedStand", n::STAND),
                to("connectedApron", n::APRON),
                curve(
                    "extent",
                    &geodesic(&format!("{} {}", beside(20.0, -150.0), beside(60.0, -150.0)))
                )
            ),
        ),
        (
            "TaxiHoldingPosition",
            n::HOLD,
            format!(
                "<landingCategory>CAT_I</landingCategory><status>NORMAL</status>{}{}{}",
                to("associatedGuidanceLine", n::LINE),
                to("protectedRunway", n::RUNWAY),
                point("location", &beside(20.0 * 60.0 / 225.0, 15.0))
            ),
        ),
        (
            "TaxiwayElement",
            n::TAXIWAY_ELEMENT,
            format!(
                "<type>NORMAL</type>{}{}{}",
                surfaced("ASPH"),
                to("associatedTaxiway", n::TAXIWAY),
                surface("extent", &box_of((-10.0, -155.0), (30.0, 70.0)))
            ),
        ),
        (
            "RunwayElement",
            n::RUNWAY_ELEMENT,
            format!(
                "<type>SHOULDER</type>{}{}",
                to("associatedRunway", n::RUNWAY),
                surface("extent", &box_of((-450.0, -20.0), (450.0, 160.0)))
            ),
        ),
        (
            "Apron",
            n::APRON,
            format!(
                "<name>MAIN</name>{}{}",
                surfaced("CONC"),
                to("associatedAirportHeliport", n::AIRPORT)
            ),
        ),
        (
            "ApronElement",
            n::APRON_ELEMENT,
            format!(
                "<type>PARKING</type>{}{}{}",
                surfaced("CONC"),
                to("associatedApron", n::APRON),
                surface("extent", &box_of((10.0, -190.0), (110.0, -120.0)))
            ),
        ),
        (
            "AircraftStand",
            n::STAND,
            format!(
                "<designator>1</designator>{}{}<availability><ApronAreaAvailability><operationalStatus>NORMAL</operationalStatus><usage>\
                 <ApronAreaUsage><type>PERMIT</type><selection><ConditionCombination><logicalOperator>NONE</logicalOperator><aircraft>\
                 <AircraftCharacteristic><type>LANDPLANE</type><wingSpan uom=\"M\">15</wingSpan>\
                 <wingSpanInterpretation>AT_OR_BELOW</wingSpanInterpretation></AircraftCharacteristic></aircraft></ConditionCombination>\
                 </selection></ApronAreaUsage></usage></ApronAreaAvailability></availability>",
                to("apronLocation", n::APRON_ELEMENT),
                point("location", &beside(60.0, -150.0))
            ),
        ),
        (
            "VerticalStructure",
            n::HANGAR,
            format!(
                "<name>HANGAR 1</name><type>BUILDING</type><part><VerticalStructurePart><verticalExtent uom=\"FT\">20</verticalExtent>\
                 <type>BUILDING</type>{}</VerticalStructurePart></part>",
                surface(
                    "horizontalProjection_surfaceExtent",
                    &box_of((60.0, -240.0), (90.0, -210.0))
                )
            ),
        ),
        (
            "WorkArea",
            n::WORKS,
            format!(
                "<type>SURFACEWORK</type>{}{}<activation><WorkareaActivity><isActive>YES</isActive></WorkareaActivity></activation>",
                to("associatedAirportHeliport", n::AIRPORT),
                surface(
                    "extent",
                    &format!(
                        "<gml:CircleByCenterPoint numArc=\"1\"><gml:pos>{}</gml:pos><gml:radius uom=\"m\">20</gml:radius>\
                         </gml:CircleByCenterPoint>",
                        beside(-300.0, -100.0)
                    )
                )
            ),
        ),
    ]
}

/// The members of parts.
pub fn members(parts: &[Part]) -> Vec<String> {
    parts
        .iter()
        .map(|(kind, n, inside)| feature(kind, *n, inside))
        .collect()
}

/// The field as one message.
pub fn field() -> String {
    message(&members(&parts()))
}

/// The field with a change to what is inside of one of its features.
pub fn changed(n: u32, change: impl Fn(&str) -> String) -> String {
    let mut list = parts();
    for part in list.iter_mut().filter(|p| p.1 == n) {
        part.2 = change(&part.2);
    }
    message(&members(&list))
}

/// The same with one text in place of another, which must be there.
///
/// # Panics
/// When it is not.
pub fn replaced(n: u32, from: &str, with: &str) -> String {
    changed(n, |inside| {
        assert!(inside.contains(from), "{from} is not in {inside}");
        inside.replace(from, with)
    })
}
