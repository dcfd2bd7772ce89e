use super::*;
use std::io::Cursor;

/// A message with these members, in the namespaces that files use.
fn message(inside: &str) -> String {
    format!(
        "<?xml version=\"1.0\"?>\n<m:AIXMBasicMessage xmlns:m=\"http://www.aixm.aero/schema/5.1.1/message\" \
         xmlns:a=\"http://www.aixm.aero/schema/5.1.1\" xmlns:gml=\"http://www.opengis.net/gml/3.2\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" \
         xmlns:event=\"http://www.aixm.aero/schema/5.1.1/event\">\n{inside}\n</m:AIXMBasicMessage>\n"
    )
}

fn read(text: &str) -> Result<Vec<Member>, Broken> {
    let mut found = Vec::new();
    each(&mut Cursor::new(text.as_bytes()), &mut |_| {}, &mut |m| {
        found.push(m);
        Ok::<(), Broken>(())
    })?;
    Ok(found)
}

fn told(text: &str) -> String {
    match read(text) {
        Ok(found) => panic!("read as {found:?}"),
        Err(e) => format!("{}: {}", e.place, e.found),
    }
}

#[test]
fn members_come_one_by_one_with_names_texts_and_lines() {
    let text = message(
        "<gml:boundedBy/>\n<!--said--><m:hasMember><!--unsaid-->\n<a:Taxiway gml:id=\"t\">\n<gml:identifier>AB-1</gml:identifier>\
         <a:designator>  K &amp; L&#x21; </a:designator><a:width uom=\"M\">15</a:width><a:length xsi:nil=\"true\" \
         nilReason=\"unknown\"/><a:associated xlink:href=\"urn:uuid:CD-2\"/></a:Taxiway></m:hasMember>\n\
         <m:hasMember><event:Event/></m:hasMember><m:hasMember xlink:href=\"#x\"/>",
    );
    let found = read(&text).expect("a message");
    let names: Vec<(bool, &str)> = found
        .iter()
        .map(|m| match m {
            Member::Feature(n) => (true, n.name.as_str()),
            Member::Beside(n) => (false, n.name.as_str()),
            Member::Comment(text) => (false, text.as_str()),
        })
        .collect();
    assert_eq!(
        names,
        [
            (false, "boundedBy"),
            (false, "said"),
            (true, "Taxiway"),
            (true, "Event"),
            (false, "hasMember")
        ]
    );
    let Member::Feature(taxiway) = &found[2] else {
        panic!("a feature")
    };
    assert!(taxiway.is(Space::Aixm, "Taxiway"));
    assert_eq!(taxiway.line, 5);
    assert_eq!(taxiway.attribute(Space::Gml, "id"), Some("t"));
    assert_eq!(taxiway.value(Space::Gml, "identifier"), Some("AB-1"));
    assert_eq!(taxiway.value(Space::Aixm, "designator"), Some("K & L!"));
    assert_eq!(taxiway.value(Space::Aixm, "length"), None);
    assert!(taxiway.child(Space::Aixm, "length").is_some_and(Node::is_nil));
    assert_eq!(
        taxiway
            .child(Space::Aixm, "width")
            .and_then(|w| w.attribute(Space::None, "uom")),
        Some("M")
    );
    assert_eq!(
        taxiway
            .child(Space::Aixm, "associated")
            .and_then(Node::reference)
            .as_deref(),
        Some("cd-2")
    );
    // The same name in another namespace is another.
    assert_eq!(taxiway.value(Space::Gml, "designator"), None);
}

#[test]
fn prefixes_do_not_matter_and_versions_do() {
    let text = "<AIXMBasicMessage xmlns=\"http://www.aixm.aero/schema/5.1/message\"><hasMember>\
                <Apron xmlns=\"http://www.aixm.aero/schema/5.1\"><name>A</name></Apron></hasMember></AIXMBasicMessage>";
    let found = read(text).expect("a message");
    let [Member::Feature(apron)] = found.as_slice() else {
        panic!("one feature")
    };
    assert_eq!(apron.value(Space::Aixm, "name"), Some("A"));
    let other = text.replace("5.1/message", "6.0/message");
    assert!(told(&other).contains("<AIXMBasicMessage> where the AIXMBasicMessage of AIXM 5.1 or 5.1.1 is expected"));
}

#[test]
fn references_are_uuids_in_every_spelling() {
    let all = ["urn:uuid:AB-1", "#uuid.AB-1", "AB-1", " #ab-1 "].map(uuid);
    assert!(all.iter().all(|u| u.as_deref() == Some("ab-1")), "{all:?}");
    assert_eq!(uuid("http://example.net/x#AB-1"), None);
    assert_eq!(uuid("#"), None);
}

#[test]
fn broken_xml_is_told_with_its_line() {
    let cut = message("<m:hasMember>\n<a:Taxiway>\n");
    let cut = cut.split("</m:AIXM").next().unwrap_or_default();
    assert!(told(cut).starts_with("line 6: the file ends before"), "{}", told(cut));
    assert!(told(&message("<m:hasMember>\n<a:Taxiway></a:Apron></m:hasMember>")).starts_with("line 4: "));
    assert!(told(&message("<z:Thing/>")).contains("the prefix \"z\" has no namespace"));
    assert!(told(&message("<a:b x=\"1\" x=\"2\"/>")).contains("the attribute x twice"));
    assert!(told("").contains("ends before"));
    assert!(told(&(message("") + "<more/>")).contains("a second outermost element"));
}

#[test]
fn entities_are_never_expanded() {
    let bomb = format!(
        "<!DOCTYPE m [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\">\
         <!ENTITY f SYSTEM \"file:///etc/passwd\">]>{}",
        message("<m:hasMember><a:Taxiway><a:designator>&b;</a:designator></a:Taxiway></m:hasMember>")
            .trim_start_matches("<?xml version=\"1.0\"?>")
    );
    assert!(told(&bomb).contains("the entity &b; is not known, and none is expanded"));
    let file = bomb.replace("&b;</", "&f;</");
    assert!(told(&file).contains("the entity &f; is not known"));
    let attribute = bomb.replace("<a:designator>&b;", "<a:designator x=\"&b;\">");
    assert!(
        told(&attribute).contains("no entity is expanded"),
        "{}",
        told(&attribute)
    );
}

#[test]
fn every_limit_is_told() {
    let deep = "<a:x>".repeat(DEPTH_LIMIT + 1);
    assert!(told(&message(&deep)).contains("nested more than 64 deep"));
    let many = format!("<m:hasMember>{}</m:hasMember>", "<a:x/>".repeat(MEMBER_NODES_LIMIT + 1));
    assert!(told(&message(&many)).contains("more than 200000 elements"));
    let attributes: String = (0..=ATTRIBUTES_LIMIT).map(|i| format!(" x{i}=\"\"")).collect();
    assert!(told(&message(&format!("<a:x{attributes}/>"))).contains("more than 64 attributes"));
    let spaces: String = (0..1000).map(|i| format!(" xmlns:x{i}=\"u\"")).collect();
    assert!(
        told(&message(&format!("<a:x{spaces}/>"))).contains("namespace"),
        "{}",
        told(&message(&format!("<a:x{spaces}/>")))
    );
    let long = format!(
        "<m:hasMember><a:x>{}</a:x></m:hasMember>",
        " 1".repeat(MEMBER_BYTES_LIMIT / 2)
    );
    assert!(told(&message(&long)).contains("longer than 41943040 bytes"));
}
