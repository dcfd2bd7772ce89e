//! Digital NOTAM messages (AIXM 5.1.1) of our own invention, for tests: the parts that a reader needs and nothing else.

use core::fmt::Write as _;

/// A message being written.
#[derive(Default)]
pub struct EventMessage {
    members: String,
}

/// The event that [`EventMessage::event`] writes has this identity.
pub const EVENT: &str = "11111111-2222-4333-8444-555555555555";

fn period(from: &str, until: &str) -> String {
    let end = match until {
        "" => "<gml:endPosition indeterminatePosition=\"unknown\"/>".to_string(),
        text => format!("<gml:endPosition>{text}</gml:endPosition>"),
    };
    format!(
        "<gml:validTime><gml:TimePeriod><gml:beginPosition>{from}</gml:beginPosition>{end}</gml:TimePeriod></gml:validTime>"
    )
}

impl EventMessage {
    /// Adds the event: NOTAM A0012/26 of ZZHD with a name, a text, a period, and more elements of the NOTAM.
    #[must_use]
    pub fn event(mut self, name: &str, text: &str, from: &str, until: &str, more: &str) -> EventMessage {
        let _ = writeln!(
            self.members,
            "<message:hasMember><event:Event><gml:identifier codeSpace=\"urn:uuid:\">{EVENT}</gml:identifier><event:timeSlice>\
             <event:EventTimeSlice>{}<aixm:interpretation>BASELINE</aixm:interpretation><aixm:sequenceNumber>1</aixm:sequenceNumber>\
             <aixm:correctionNumber>0</aixm:correctionNumber><event:name>{name}</event:name><event:notification><event:NOTAM>\
             <event:series>A</event:series><event:number>12</event:number><event:year>2026</event:year>\
             <event:location>ZZHD</event:location><event:text>{text}</event:text>{more}</event:NOTAM></event:notification>\
             </event:EventTimeSlice></event:timeSlice></event:Event></message:hasMember>",
            period(from, until)
        );
        self
    }

    /// Adds a feature that the event changes: its name, its identity, and its availabilities.
    #[must_use]
    pub fn change(self, feature: &str, identity: &str, availability: &str) -> EventMessage {
        self.slice(
            feature,
            identity,
            ("2026-07-04T08:00:00Z", "2026-07-04T12:00:00Z"),
            (1, 0),
            availability,
        )
    }

    /// The same with its own period, sequence and correction.
    #[must_use]
    pub fn slice(
        mut self,
        feature: &str,
        identity: &str,
        (from, until): (&str, &str),
        (sequence, correction): (u32, u32),
        availability: &str,
    ) -> EventMessage {
        let _ = writeln!(
            self.members,
            "<message:hasMember><aixm:{feature}><gml:identifier codeSpace=\"urn:uuid:\">{identity}</gml:identifier><aixm:timeSlice>\
             <aixm:{feature}TimeSlice>{}<aixm:interpretation>TEMPDELTA</aixm:interpretation>\
             <aixm:sequenceNumber>{sequence}</aixm:sequenceNumber><aixm:correctionNumber>{correction}</aixm:correctionNumber>\
             {availability}<aixm:extension><event:{feature}Extension><event:theEvent xlink:href=\"urn:uuid:{EVENT}\"/>\
             </event:{feature}Extension></aixm:extension></aixm:{feature}TimeSlice></aixm:timeSlice></aixm:{feature}></message:hasMember>",
            if from.is_empty() {
                "<gml:validTime xsi:nil=\"true\"/>".to_string()
            } else {
                period(from, until)
            }
        );
        self
    }

    /// An availability of taxiways with a status and what stands beside it.
    pub fn availability(status: &str, more: &str) -> String {
        format!(
            "<aixm:availability><aixm:ManoeuvringAreaAvailability>{more}<aixm:operationalStatus>{status}</aixm:operationalStatus>\
             </aixm:ManoeuvringAreaAvailability></aixm:availability>"
        )
    }

    /// A limited availability with usages: their sort, and the inside of their selection.
    pub fn limited(usages: &[(&str, &str)]) -> String {
        let usages: String = usages
            .iter()
            .map(|(sort, selection)| {
                format!(
                    "<aixm:usage><aixm:ManoeuvringAreaUsage><aixm:type>{sort}</aixm:type><aixm:selection>{selection}</aixm:selection>\
                     <aixm:operation>TAXIING</aixm:operation></aixm:ManoeuvringAreaUsage></aixm:usage>"
                )
            })
            .collect();
        format!(
            "<aixm:availability><aixm:ManoeuvringAreaAvailability><aixm:operationalStatus>LIMITED</aixm:operationalStatus>{usages}\
             </aixm:ManoeuvringAreaAvailability></aixm:availability>"
        )
    }

    /// A condition: its operator and what stands in it.
    pub fn condition(operator: &str, inside: &str) -> String {
        format!(
            "<aixm:ConditionCombination><aixm:logicalOperator>{operator}</aixm:logicalOperator>{inside}</aixm:ConditionCombination>"
        )
    }

    /// An aircraft in a condition: the elements of its characteristic.
    pub fn aircraft(inside: &str) -> String {
        format!("<aixm:aircraft><aixm:AircraftCharacteristic>{inside}</aixm:AircraftCharacteristic></aixm:aircraft>")
    }

    /// The message.
    pub fn text(&self) -> String {
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<message:AIXMBasicMessage xmlns:message=\"http://www.aixm.aero/schema/5.1.1/message\" \
             xmlns:gml=\"http://www.opengis.net/gml/3.2\" xmlns:aixm=\"http://www.aixm.aero/schema/5.1.1\" \
             xmlns:event=\"http://www.aixm.aero/schema/5.1.1/event\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" \
             xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\">\n{}</message:AIXMBasicMessage>\n",
            self.members
        )
    }
}
