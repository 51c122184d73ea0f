<?xml version="1.0" encoding="UTF-8"?>
<!-- Ten of the rules as templates, for the measurements: each prints "rule subject" for a record that fails.
     They hold for the records of tests/bench/gen_lots, where every date is well before the day of the audit. -->
<xsl:stylesheet version="1.0" xmlns:xsl="http://www.w3.org/1999/XSL/Transform">
  <xsl:output method="text"/>
  <xsl:key name="waste" match="waste" use="@batch"/>
  <xsl:key name="label" match="label" use="@batch"/>
  <xsl:key name="document" match="document" use="@id"/>
  <xsl:template match="/">
    <xsl:apply-templates select="records/batch | records/receipt"/>
  </xsl:template>

  <xsl:template match="batch">
    <xsl:apply-templates select="." mode="release-not-checked"/>
    <xsl:apply-templates select="." mode="release-not-signed"/>
    <xsl:apply-templates select="." mode="wet-waste-left-out"/>
    <xsl:apply-templates select="." mode="spent-material-unaccounted"/>
    <xsl:apply-templates select="." mode="cleaning-not-recorded"/>
    <xsl:apply-templates select="." mode="retention-sample-missing"/>
    <xsl:apply-templates select="." mode="label-specimen-missing"/>
    <xsl:apply-templates select="charge" mode="charge-without-instrument"/>
  </xsl:template>

  <xsl:template match="receipt">
    <xsl:apply-templates select="." mode="scientific-name-missing"/>
    <xsl:apply-templates select="." mode="invoice-does-not-reach-lot"/>
  </xsl:template>

  <xsl:template name="fails">
    <xsl:param name="rule"/>
    <xsl:param name="subject" select="@id"/>
    <xsl:value-of select="concat($rule, ' ', $subject, '&#10;')"/>
  </xsl:template>

  <xsl:template match="*" mode="release-not-checked"/>
  <xsl:template match="batch[@state = 'released'][not(check[@kind = 'release'])]" mode="release-not-checked">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'release-not-checked'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="release-not-signed"/>
  <xsl:template match="batch[@state = 'released'][not(@released-by)]" mode="release-not-signed">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'release-not-signed'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="wet-waste-left-out"/>
  <xsl:template match="batch[@strained][not(key('waste', @id))]" mode="wet-waste-left-out">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'wet-waste-left-out'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="spent-material-unaccounted"/>
  <xsl:template match="batch[@strained][not(key('waste', @id)[@kind = 'marc'])]" mode="spent-material-unaccounted">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'spent-material-unaccounted'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="cleaning-not-recorded"/>
  <xsl:template match="batch[not(step[@kind = 'clean'])][not(check[@kind = 'cleaning'])]" mode="cleaning-not-recorded">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'cleaning-not-recorded'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="retention-sample-missing"/>
  <xsl:template match="batch[@bottled][not(yield[@stage = 'sample'])]" mode="retention-sample-missing">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'retention-sample-missing'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="label-specimen-missing"/>
  <xsl:template match="batch[@bottled][key('label', @id)][not(check[@kind = 'label-specimen'])]" mode="label-specimen-missing">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'label-specimen-missing'"/></xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="charge-without-instrument"/>
  <xsl:template match="charge[not(@instrument)]" mode="charge-without-instrument">
    <xsl:call-template name="fails">
      <xsl:with-param name="rule" select="'charge-without-instrument'"/>
      <xsl:with-param name="subject" select="../@id"/>
    </xsl:call-template>
  </xsl:template>

  <xsl:template match="*" mode="scientific-name-missing"/>
  <xsl:template match="receipt[@kind = 'material'][not(@scientific-name)]" mode="scientific-name-missing">
    <xsl:call-template name="fails"><xsl:with-param name="rule" select="'scientific-name-missing'"/></xsl:call-template>
  </xsl:template>

  <!-- its papers are a list of ids with blanks between -->
  <xsl:template match="*" mode="invoice-does-not-reach-lot"/>
  <xsl:template match="receipt[@acquisition = 'bought']" mode="invoice-does-not-reach-lot">
    <xsl:variable name="has"><xsl:call-template name="invoices"><xsl:with-param name="ids" select="@documents"/></xsl:call-template></xsl:variable>
    <xsl:if test="$has = ''">
      <xsl:call-template name="fails"><xsl:with-param name="rule" select="'invoice-does-not-reach-lot'"/></xsl:call-template>
    </xsl:if>
  </xsl:template>
  <xsl:template name="invoices">
    <xsl:param name="ids"/>
    <xsl:variable name="id" select="substring-before(concat($ids, ' '), ' ')"/>
    <xsl:if test="$id != ''">
      <xsl:if test="key('document', $id)[@kind = 'commercial-invoice']">x</xsl:if>
      <xsl:call-template name="invoices"><xsl:with-param name="ids" select="substring-after($ids, ' ')"/></xsl:call-template>
    </xsl:if>
  </xsl:template>
</xsl:stylesheet>
